#include "host/label/criteria_words.hpp"

#include <algorithm>

namespace pairmark::label {
namespace {

std::string with_blanks(std::string_view name) {
    std::string text(name);
    std::replace(text.begin(), text.end(), '_', ' ');
    return text;
}

}  // namespace

std::vector<std::string> bench_steps(const record::Criteria& criteria) {
    const bool at_bench = criteria.looked_over_at_bench;
    std::vector<std::string> steps;
    steps.emplace_back(at_bench
                           ? "Take one pair only. It is washed and dry."
                           : "Take one pair only. It was looked over, washed and dried at the table before.");
    steps.emplace_back("Broken, dirty, no use: press \"turn down\" instead of measuring.");
    steps.emplace_back(
        "Lay it on the lens meter as drawn. Say \"right\" and measure the wearer's right lens. The lamp "
        "\"accepted\" and a short beep: the reading is safe.");
    steps.emplace_back(
        "Push the frame along the table, do not turn it. Say \"left\" and measure the left lens.");
    if (at_bench)
        steps.emplace_back(
            "Is all in order, as on this sheet? Press \"looked over\". Before that no verdict comes.");
    steps.emplace_back(
        "Lamp \"keep\": the label onto the envelope, the spectacles into it, filed where the label's top "
        "edge "
        "says. Label on before you take up the next pair.");
    steps.emplace_back("Lamp \"discard\": into the tray that the screen names.");
    steps.emplace_back("Lamp \"ask\": into the tray for questions. Go on with the next pair.");
    return steps;
}

std::vector<record::Criterion> built_in_criteria(const record::Criteria& criteria) {
    using record::Decision;
    std::vector<record::Criterion> all;
    all.push_back({"turned-down", Decision::discard, "A person turned it down", "for any reason",
                   criteria.discard_tray});
    all.push_back({"keep", Decision::keep, "Everything else", "where nothing above says otherwise",
                   criteria.keep_tray});
    if (criteria.gold_tray)
        all.push_back({"gold", Decision::keep, "Gold-coloured frames, kept or not",
                       "marked gold: this tray comes before every other", *criteria.gold_tray});
    return all;
}

std::string also_asked(const record::Criteria& criteria) {
    return std::string(
               "Also asked: a lens was not measured; one lens shows 0.00 and the other a power (was nothing "
               "on "
               "the stop?); ") +
           (criteria.looked_over_at_bench ? "nobody pressed \"looked over\"; " : "") +
           "something that a rule needs is not known, unless the pair is turned down anyway. Tray: " +
           criteria.ask_tray;
}

std::string looked_over_intro(const record::Criteria& criteria) {
    return criteria.looked_over_at_bench ? "The key \"looked over\" says that everything with a tick is so. "
                                           "What is otherwise is marked, or the "
                                           "pair is turned down."
                                         : "Done at the table before the bench. It says that everything with "
                                           "a tick is so. What is otherwise is "
                                           "marked, or the pair is turned down.";
}

std::string hint_of(const record::MarkWord& mark) {
    // The zone of a lens that must be free of faults, 30 mm across (ISO 8980-1, from memory).
    if (mark.name == "scratches") return "circle: the middle 30 mm";
    const std::size_t remark = mark.what.find("; ");
    if (remark != std::string_view::npos) return std::string(mark.what.substr(remark + 2));
    return mark.in_order.empty() ? "say which" : "";
}

std::string mark_sentence(const record::MarkWord& mark) {
    const std::string name = with_blanks(mark.name);
    if (!mark.in_order.empty())
        return name + ": " + std::string(mark.in_order) + " (" + std::string(mark.what) + ")";
    std::string values;
    for (const std::string_view value : mark.values)
        values += (values.empty() ? "" : " or ") + std::string(value);
    if (!mark.form.empty()) values += ", or " + std::string(mark.form);
    return name + ": " + (values.empty() ? "" : values + " ") + "(" + std::string(mark.what) + ")";
}

std::vector<std::string> cautions() {
    return {
        "Given out only after an eye examination, by people qualified and allowed to do so where they are. "
        "Not for children without specialist care.",
        "Sunglasses and safety eyewear are out of scope.",
        "Beyond 4 D: check at the wearer's vertex distance. The label says what the lens meter measured.",
        "Follow local rules on medical devices, import and waste."};
}

}  // namespace pairmark::label
