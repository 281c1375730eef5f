// A document as a file: complete or not there, and never in the place of another.
#pragma once

#include <string>
#include <string_view>

#include "host/printing/printer.hpp"

namespace pairmark::printing {

/// A file that is being written is called `.FILE` and this until it is whole.
constexpr std::string_view part_ending = ".part";

/// What a document is called in sentences for people: "label", and how to have it written again: "release the
/// label".
struct Naming {
    std::string what;
    std::string again;
};

/// Writes FOLDER/FILE, mode 0600. The folder must exist; `file` is a name of ours, without a slash. None is
/// ever replaced, no link is followed under that name. Outcomes:
///   printed   the file holds exactly the document and is on the disk, also if it did already
///   held      something else has that name
///   failed    nothing has that name: folder missing, read-only or full
///   in_doubt  the file is there, but the disk did not confirm it
/// A file `.FILE.part` may stay behind after a power cut or on a disk that fails; the next write of that name
/// removes it. One process at a time may write into a folder.
Result write_whole_file(const std::string& folder, const std::string& file, std::string_view document,
                        const Naming& naming);

}  // namespace pairmark::printing
