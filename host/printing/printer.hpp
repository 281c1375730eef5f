// What every way to paper has in common.
#pragma once

#include <functional>
#include <string>

#include "host/record/label.hpp"

namespace pairmark::printing {

/// One document to be printed. `number` is the label's; `copy` 0 the first print, else COPY and this number.
struct Job {
    std::string number;
    int copy = 0;
    std::string document;  // PDF, whole
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
///       unmarked;
///   P3  whatever is neither is `in_doubt`, and never tried again by the implementation;
///   P4  `held` where a person must look first and nothing came out (the number stands on another document);
///   P5  the outside world's failures are results, not exceptions;
///   P6  `begins` is asked before the first byte leaves that could not be taken back or found again, and
///       where it says no, none leaves and the job failed. A way out that can tell after a cut whether it
///       has the document, as a folder can, need not ask.
class Printer {
  public:
    /// Makes it durable that bytes may have left. False: they must not leave.
    using Begins = std::function<bool()>;
    /// Called once a job, on the event loop; also before `print` returns.
    using Done = std::function<void(Result)>;

    virtual ~Printer() = default;

    /// For people and the log: "folder /srv/labels".
    virtual std::string name() const = 0;
    /// Hands the job over. The caller gives one job at a time.
    virtual void print(Job job, Begins begins, Done done) = 0;
};

}  // namespace pairmark::printing
