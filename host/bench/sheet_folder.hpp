// The folder of sheets: lists and documents on the disk.
#pragma once

#include <filesystem>
#include <stdexcept>
#include <string>
#include <vector>

#include "host/bench/sheets.hpp"
#include "host/printing/printer.hpp"

namespace pairmark::bench {

/// The folder or a list in it cannot be used. `what()` says where, what happened and the next step.
struct SheetFault : std::runtime_error {
    using std::runtime_error::runtime_error;
};

/// FOLDER/sheet-0001.json and FOLDER/sheet-0001.pdf. Files are 0600, none is ever replaced, no link is
/// followed. One process at a time has a folder.
class SheetFolder {
  public:
    /// Makes the folder if need be, and locks it. Throws SheetFault.
    explicit SheetFolder(std::filesystem::path path);
    ~SheetFolder();
    SheetFolder(const SheetFolder&) = delete;
    SheetFolder& operator=(const SheetFolder&) = delete;

    /// All lists, by sheet. Throws SheetFault for one that cannot be read: without it nobody knows which
    /// labels are out.
    std::vector<SheetList> lists() const;
    bool has_document(int sheet) const;

    /// Both as printing::write_whole_file does; durable where the outcome is `printed`.
    printing::Result keep_list(const SheetList& list) const;
    printing::Result keep_document(int sheet, const std::string& document) const;

    const std::filesystem::path& path() const { return path_; }

  private:
    SheetList list_in(const std::string& name) const;

    std::filesystem::path path_;
    int folder_ = -1;
};

}  // namespace pairmark::bench
