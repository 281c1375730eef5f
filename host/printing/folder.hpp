// Printing into a folder: each label a PDF file, complete or not there.
#pragma once

#include <string>

#include "host/printing/printer.hpp"

namespace pairmark::printing {

/// Writes FOLDER/<number>.pdf, and FOLDER/<number>-copy<N>.pdf for a copy. The folder must exist. Files are
/// 0600; none is ever replaced, no link is followed under a label's name.
///   printed   the file holds exactly the document and is on the disk, also if it did already
///   held      another document has that name
///   failed    nothing has that name: folder missing, read-only, full, or the number is no label number
///   in_doubt  the file is there, but the disk did not confirm it
/// A file `.<name>.part` may stay behind after a power cut; the next print of that label removes it. One
/// process at a time may print into a folder.
class Folder : public Printer {
  public:
    explicit Folder(std::string path) : path_(std::move(path)) {}

    std::string name() const override { return "folder " + path_; }
    Result print(const Job& job) override;

  private:
    std::string path_;
};

}  // namespace pairmark::printing
