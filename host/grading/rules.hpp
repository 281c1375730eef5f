// A programme's rules as data, and what they say of a pair. docs/rules.md is the page for those who write
// them; rules.schema.json the same for their editors.
//
// Trust: rules are text from outside. Invariants of parse_rules, for any bytes whatever:
//   G1  it gives rules that are valid whole, or throws BadRules; nothing else is thrown (but for want of
//   memory); G2  work and depth are bounded: 256 kB of text, 500 rules, conditions nested 12 deep; G3  a
//   member, word or number that is not understood is a mistake: nothing is skipped, nothing has a silent
//   meaning; G4  every mistake found is listed, with its place, what was expected, and the nearest valid word
//   where one is near.
#pragma once

#include <map>
#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

#include "host/grading/condition.hpp"
#include "host/optics/vertical_imbalance.hpp"
#include "host/record/pair.hpp"
#include "host/record/verdict.hpp"

namespace pairmark::grading {

/// One mistake in a text of rules. `place` as in "rules[3].when.over", or "line 4, column 7" where the text
/// is not JSON.
struct Mistake {
    std::string place;
    std::string say;
};

/// Rules that cannot be used. `what()` lists all mistakes, a line each.
struct BadRules : std::runtime_error {
    explicit BadRules(std::vector<Mistake> all);
    std::vector<Mistake> mistakes;
};

struct Rule {
    std::string id;
    Condition when;
    record::Decision verdict = record::Decision::ask;  // what it gives where `when` holds
    std::string tray;                                  // empty: the verdict's own tray
    std::string say;
    std::string question;  // what is asked while `when` cannot be told; empty: a sentence that names what is
                           // not known
};

/// The trays that pairs go to where no rule names another.
struct Trays {
    std::string keep = "stock";
    std::string discard = "discard";
    std::string ask = "ask";
};

struct Rules {
    std::string name;
    std::string date;  // YYYY-MM-DD, when the programme decided them
    Trays trays;
    std::optional<std::string> gold_tray;  // pairs marked gold go there whatever the verdict
    bool looked_over_is_granted = false;   // done at an earlier table: an absent mark has its in-order value
    record::Marks granted_marks;           // an absent mark has this value
    /// Of a lens for which the instrument reported none, unless it is marked or found to have one.
    std::optional<optics::Dioptre> granted_addition;
    bool no_prism_is_granted = false;  // a lens for which the instrument reported no prism has none
    double reading_depth_mm = optics::reading_depth_mm;  // below the optical centres
    std::vector<Rule> rules;
    std::string hash_text;  // the text as it was given: its SHA-256 names these rules

    /// True if a rule depends on a mark that "looked over, all in order" would settle and that is not taken
    /// for granted.
    bool needs_looking_over() const;
};

/// Throws BadRules.
Rules parse_rules(std::string_view json);

/// The example programme, of common practice, no published source: host/grading/default.rules.json as it was
/// at build time.
std::string_view default_rules_text();

/// What the rules say of a pair: the strongest verdict (discard, then ask, then keep) and all reasons, in
/// that order. Pure and total: a pair with one lens, or none, is judged as far as it is known.
/// - Rules act on the lenses as they stand on the label unless they ask for the measured values.
/// - What a rule needs and nobody gave is unknown. A rule that hangs on it asks its question, unless the pair
/// is discarded
///   anyway. What looking over would settle asks once: rule "not-looked-over".
/// - A pair that lacks a lens asks with the rule "half-pair", unless what is known discards it.
/// - A pair that a person turned down is discarded, rule "turned-down". The pair's own questions ask, by
/// their ids.
/// - Lateness is not grading's business.
record::Verdict grade(const Rules& rules, const record::Pair& pair);

/// The same for a pair that lies at the bench, where somebody can look: one lens without power beside one
/// that has some asks before anything is refused, "nothing-on-the-stop". The mark `plano` answers it, or the
/// programme takes it for granted. What the other lens alone refuses is refused all the same.
record::Verdict grade_at_bench(const Rules& rules, const record::Pair& pair);

}  // namespace pairmark::grading
