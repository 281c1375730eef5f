// Which of the adapter's lamps the bench has asked for, so that none says what is no longer so
// (docs/cues.md).
#pragma once

#include <cstdint>
#include <functional>
#include <string>

namespace pairmark::bench {

class Lamps {
  public:
    /// `cue` sends one cue to the adapter: "keep", "discard", "ask", "printer" or "clear".
    explicit Lamps(std::function<void(const std::string&)> cue) : cue_(std::move(cue)) {}

    void verdict(std::int64_t pair, const std::string& show);
    /// The adapter put the verdict out by itself.
    void reading_taken() { verdict_.clear(); }
    /// The pair is no longer decided as shown: its verdict goes out.
    void no_verdict(std::int64_t pair);
    /// Something needs a person, or nothing does any more. Said once, and taken back once.
    void needs_person(bool needs);
    /// An adapter was greeted: whatever it shows is of before.
    void greeted();

  private:
    void clear();
    std::function<void(const std::string&)> cue_;
    std::string verdict_;  // what is shown; empty: nothing
    std::int64_t pair_ = 0;
    bool needs_person_ = false;
};

}  // namespace pairmark::bench
