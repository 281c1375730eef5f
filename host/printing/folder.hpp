// Printing into a folder: each label a PDF file, complete or not there.
#pragma once

#include <string>

#include "host/printing/printer.hpp"

namespace pairmark::printing {

/// Writes FOLDER/<number>.pdf, and FOLDER/<number>-copy<N>.pdf for a copy. The folder must exist. Files
/// are written as write_whole_file says; `failed` also where the number is no label number. One process at a
/// time may print into a folder. After a cut the same bytes under the same name mean printed, so it never
/// asks whether it may begin.
///
/// Half-written labels that a cut or a failing disk left (`.<number>.pdf.part`) are removed when this begins,
/// and before the next label once one did not come out: the number may have been taken back meanwhile, and
/// then nobody writes that name again.
class Folder : public Printer {
  public:
    explicit Folder(std::string path);

    std::string name() const override { return "folder " + path_; }
    void print(Job job, Begins begins, Done done) override;
    /// The same at once.
    Result write(const Job& job);

  private:
    std::string path_;
    bool may_hold_parts_;
};

}  // namespace pairmark::printing
