// From events to pairs and verdicts: pairing and grading together, as the daemon and replay both run them.
// Knows no clock, file or port; the same events give the same outcomes.
#pragma once

#include <cstdint>
#include <string>
#include <unordered_map>
#include <vector>

#include "host/bench/config.hpp"
#include "host/grading/rules.hpp"
#include "host/pairing/pairing.hpp"
#include "host/record/event.hpp"
#include "host/record/label.hpp"
#include "host/record/verdict.hpp"

namespace pairmark::bench {

/// What an event led to, in order.
struct Outcome {
    enum class What {
        pair,        // that pair changed: show it
        settled,     // it has a new verdict; a kept one wants a number and a label
        label_void,  // `text` is the number to tear up
        said,        // `text` is a sentence for the bench
    };
    What what = What::pair;
    std::int64_t pair = 0;
    std::string text;
};

class Pipeline {
  public:
    Pipeline();
    /// Takes the programme's rules from here instead of from the session's texts: "what would change".
    void use_only(grading::Rules rules);

    /// Takes one event, in rising order of sequence. Throws BadConfig or grading::BadRules for a text in
    /// force that is none; callers check texts before they append them.
    std::vector<Outcome> apply(const record::Event& event);

    const pairing::Table& table() const { return table_; }
    /// The pair's latest verdict. A pair that nobody graded (half, questioned, turned down by hand) gets what
    /// its state says.
    record::Verdict verdict(const record::Pair& pair) const;
    /// True if that verdict is the one by which the pair was settled, whatever rules came into force since.
    bool is_graded(const record::Pair& pair) const;
    const std::string& rules_hash() const { return rules_hash_; }
    /// What stands on a label of this pair. Precondition: both lenses, settled as keep.
    record::LabelFacts label_facts(const record::Pair& pair, const record::Numbered& numbered) const;
    /// What its label is made on.
    const record::LabelPaper& paper() const { return settings_.label.paper; }
    /// Where the pair is to be filed under the number with this counter. Precondition as above.
    std::string place_for(const record::Pair& pair, std::int64_t counter) const;

  private:
    void take_text(const record::TextInForce& text);
    void follow_filing(std::int64_t pair);
    std::string said_of(const record::Pair& pair, const char* mark) const;

    pairing::Table table_;
    grading::Rules rules_;
    bool rules_fixed_ = false;
    std::string rules_hash_;
    Settings settings_;
    Filing filing_;
    std::unordered_map<std::int64_t, record::Verdict> verdicts_;
};

/// What these rules say of a pair that nobody graded: where a question is open, no refusal is settled.
record::Verdict verdict_by(const grading::Rules& rules, const record::Pair& pair);

}  // namespace pairmark::bench
