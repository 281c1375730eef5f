// What every way to paper has in common.
#pragma once

#include <string>
#include <string_view>

#include "host/record/label.hpp"

namespace pairmark::printing {

/// One document to be printed. `number` is the label's; `copy` 0 the first print, else COPY and this number.
struct Job {
    std::string number;
    int copy = 0;
    std::string_view document;  // PDF, whole; must outlive the call only
};

/// What became of a job, and a sentence for a person: what happened, where, and the next step. `say` is empty
/// where nothing needs saying.
struct Result {
    record::PrintOutcome outcome = record::PrintOutcome::failed;
    std::string say;
};

/// A way out. Implementations obey:
///   P1  `printed` only on the word of what took the document;
///   P2  `failed` only where no byte of the document can have come out: such a job may be given again,
///   unmarked; P3  whatever is neither is `in_doubt`, and never tried again by the implementation; P4  `held`
///   where a person must look first and nothing came out (the number stands on another document); P5  the
///   outside world's failures are results, not exceptions.
class Printer {
  public:
    virtual ~Printer() = default;

    /// For people and the log: "folder /srv/labels".
    virtual std::string name() const = 0;
    /// Hands the job over and waits for its outcome.
    virtual Result print(const Job& job) = 0;
};

}  // namespace pairmark::printing
