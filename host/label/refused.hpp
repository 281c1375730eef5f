// The answer to facts that make no label.
#pragma once

#include <stdexcept>
#include <string>

namespace pairmark::label {

/// A label was not made. `what()` is the whole sentence for a person: where, what happened, and the next
/// step.
class LabelRefused : public std::runtime_error {
  public:
    LabelRefused(std::string where, std::string happened, std::string next_step)
        : std::runtime_error("label refused: " + where + ": " + happened + "; " + next_step),
          where_(std::move(where)),
          happened_(std::move(happened)),
          next_step_(std::move(next_step)) {}

    const std::string& where() const {
        return where_;
    }  // the fact, in the volunteer's words: "right lens", "place"
    const std::string& happened() const { return happened_; }
    const std::string& next_step() const { return next_step_; }

  private:
    std::string where_;
    std::string happened_;
    std::string next_step_;
};

}  // namespace pairmark::label
