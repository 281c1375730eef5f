// Printing into a folder: each label a PDF file, complete or not there.
#pragma once

#include <string>

#include "host/printing/printer.hpp"

namespace pairmark::printing {

/// Writes FOLDER/<number>.pdf, and FOLDER/<number>-copy<N>.pdf for a copy. The folder must exist. Files
/// are written as write_whole_file says; `failed` also where the number is no label number. One process at a
/// time may print into a folder.
class Folder : public Printer {
  public:
    explicit Folder(std::string path) : path_(std::move(path)) {}

    std::string name() const override { return "folder " + path_; }
    Result print(const Job& job) override;

  private:
    std::string path_;
};

}  // namespace pairmark::printing
