// The sheet for the wall: everything on it, nothing over anything else, or refused.
#include <catch2/catch.hpp>
#include <cstdlib>
#include <string>
#include <vector>

#include "host/label/criteria_sheet.hpp"
#include "host/record/mark.hpp"
#include "tests/outside/label_programs.hpp"

namespace {

using namespace pairmark;
using label::CriteriaRefused;
using label::render_criteria;
using record::Criteria;
using record::Decision;

constexpr const char* hash = "0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef";

Criteria some_criteria(int rules = 3) {
    Criteria criteria;
    criteria.programme = "Hillside spectacles";
    criteria.rules_name = "Hillside rules";
    criteria.rules_date = "2026-03-01";
    criteria.rules_hash = hash;
    criteria.keep_tray = "stock";
    criteria.discard_tray = "waste";
    criteria.ask_tray = "questions";
    criteria.gold_tray = "gold case";
    criteria.marks = {"tint", "child", "gold"};
    for (int i = 1; i <= rules; ++i)
        criteria.rules.push_back(
            {"r" + std::to_string(i),
             i % 3 == 1   ? Decision::discard
             : i % 3 == 2 ? Decision::ask
                          : Decision::keep,
             "Sentence " + std::to_string(i) + " of the rules: a lens is not as it should be",
             "the cylinder of a lens is over " + std::to_string(i) + ".25 D", "tray " + std::to_string(i)});
    return criteria;
}

/// A long programme, with every mark that there is.
Criteria long_criteria() {
    Criteria criteria = some_criteria(25);
    criteria.looked_over_at_bench = true;
    criteria.marks.clear();
    for (const record::MarkWord& mark : record::mark_vocabulary())
        criteria.marks.emplace_back(mark.name);
    return criteria;
}

std::string without_breaks(const std::string& text) {
    std::string joined;
    for (const char c : text)
        if (c == '\n' || c == '\f' || c == ' ') {
            if (!joined.empty() && joined.back() != ' ') joined += ' ';
        } else {
            joined += c;
        }
    return joined;
}

/// In the order in which it was written, lines joined.
std::string text_of(const Criteria& criteria) {
    const outside::DocumentFile file(render_criteria(criteria));
    return without_breaks(outside::run("pdftotext -raw -enc UTF-8 " + file.path() + " -"));
}

std::string refusal_of(const Criteria& criteria) {
    try {
        (void)render_criteria(criteria);
        return "none";
    } catch (const CriteriaRefused& refused) {
        return refused.what();
    }
}

struct Word {
    int page;
    double x_min, y_min, x_max, y_max;  // points
    std::string text;
};

double attribute(const std::string& line, const std::string& name) {
    const std::size_t at = line.find(name + "=\"");
    REQUIRE(at != std::string::npos);
    return std::strtod(line.c_str() + at + name.size() + 2, nullptr);
}

std::vector<Word> words_of(const Criteria& criteria) {
    const outside::DocumentFile file(render_criteria(criteria));
    std::vector<Word> words;
    int page = 0;
    for (const std::string& line : outside::lines_of(outside::run("pdftotext -bbox " + file.path() + " -"))) {
        if (line.find("<page ") != std::string::npos) ++page;
        if (line.find("<word ") == std::string::npos) continue;
        const std::size_t begin = line.find('>') + 1;
        words.push_back({page, attribute(line, "xMin"), attribute(line, "yMin"), attribute(line, "xMax"),
                         attribute(line, "yMax"), line.substr(begin, line.find("</word>") - begin)});
    }
    return words;
}

void check_places(const Criteria& criteria) {
    constexpr double page_width = 595.2;
    constexpr double page_height = 841.8;
    constexpr double edge = 5 * 72 / 25.4;  // what office printers leave white
    const std::vector<Word> words = words_of(criteria);
    CHECK(words.size() > 150);
    std::vector<std::string> wrong;
    for (std::size_t i = 0; i < words.size(); ++i) {
        const Word& one = words[i];
        const bool is_on_paper = one.page <= 2 && one.x_min >= edge && one.x_max <= page_width - edge &&
                                 one.y_min >= edge && one.y_max <= page_height - edge;
        if (!is_on_paper) wrong.push_back(one.text + " is at the edge");
        for (std::size_t k = 0; k < i; ++k) {
            const Word& other = words[k];
            if (other.page != one.page) continue;
            const double across = std::min(one.x_max, other.x_max) - std::max(one.x_min, other.x_min);
            const double down = std::min(one.y_max, other.y_max) - std::max(one.y_min, other.y_min);
            // A line's box reaches over its letters into the next line's by less than a third of its height.
            if (across > 0.5 && down > 0.3 * (one.y_max - one.y_min))
                wrong.push_back(one.text + " lies over " + other.text);
        }
    }
    CHECK(wrong == std::vector<std::string>{});
}

}  // namespace

TEST_CASE("the sheet has every rule's sentence, condition and tray, the rules' name, date and hash") {
    const Criteria criteria = some_criteria();
    const std::string text = text_of(criteria);
    CHECK(text.find("Hillside spectacles Which donated spectacles") == 0);
    for (const record::Criterion& rule : criteria.rules) {
        CHECK_THAT(text, Catch::Contains(rule.say + " " + rule.when + " " + rule.tray));
    }
    CHECK_THAT(text, Catch::Contains("Rules \"Hillside rules\" of 2026-03-01, SHA-256 0123456789ab "));
    CHECK_THAT(text, Catch::Contains(std::string("SHA-256 ") + hash));
    CHECK_THAT(text, Catch::Contains("page 1 of 2") && Catch::Contains("page 2 of 2"));
    CHECK_THAT(text, Catch::Contains("Gold-coloured frames, kept or not") && Catch::Contains("gold case"));
    for (const char* caution : {"eye examination", "Not for children without specialist care", "Sunglasses",
                                "Beyond 4 D", "vertex distance", "local rules"})
        CHECK_THAT(text, Catch::Contains(caution));
}

TEST_CASE("the sheet shows the marks that the rules use, and no other") {
    Criteria criteria = some_criteria();
    std::string text = text_of(criteria);
    CHECK_THAT(text, Catch::Contains("changing: darkens in the sun") && Catch::Contains("gold: no"));
    CHECK_THAT(text, !Catch::Contains("moulded") && !Catch::Contains("progressive"));
    criteria.marks = {"pads", "lens_type", "frame_size"};
    text = text_of(criteria);
    CHECK_THAT(text, Catch::Contains("missing") && Catch::Contains("progressive") &&
                         Catch::Contains("frame size: S or M or L, or three numbers"));
    CHECK_THAT(text, !Catch::Contains("darkens") && !Catch::Contains("gold: no"));
    criteria.marks.clear();
    CHECK_THAT(text_of(criteria), !Catch::Contains("all in order"));
}

TEST_CASE("a bench where pairs are looked over by a key has the step for it, another has not") {
    Criteria criteria = some_criteria();
    CHECK_THAT(text_of(criteria), !Catch::Contains("Press \"looked over\""));
    criteria.looked_over_at_bench = true;
    CHECK_THAT(text_of(criteria),
               Catch::Contains("Press \"looked over\"") && Catch::Contains("nobody pressed \"looked over\""));
}

TEST_CASE("the same criteria give the same bytes, other criteria other bytes") {
    Criteria criteria = some_criteria();
    const std::string once = render_criteria(criteria);
    CHECK(once == render_criteria(criteria));
    CHECK(once.starts_with("%PDF-"));
    CHECK(once.find("/CreationDate") == std::string::npos);
    criteria.rules[0].when += " or more";
    CHECK(once != render_criteria(criteria));
}

TEST_CASE("no word lies over another or at the paper's edge, of a short programme and of a long one") {
    check_places(some_criteria(1));
    check_places(some_criteria(13));
    check_places(long_criteria());
}

TEST_CASE("letters are 9 points at least, but for the full hash") {
    for (const Criteria& criteria : {some_criteria(), long_criteria()}) {
        double least = 1000;
        for (const Word& word : words_of(criteria))
            if (word.text.find(std::string(hash).substr(12)) == std::string::npos && word.text != "SHA-256")
                least = std::min(least, word.y_max - word.y_min);
        // The font's box is 1.16 of its size.
        CHECK(least > 9 * 1.1);
    }
}

TEST_CASE("a programme of 25 rules and every mark fits, and all of it is there") {
    const Criteria criteria = long_criteria();
    const std::string text = text_of(criteria);
    for (const record::Criterion& rule : criteria.rules)
        CHECK_THAT(text, Catch::Contains(rule.say + " " + rule.when + " " + rule.tray));
    CHECK_THAT(text, Catch::Contains(", continued"));
}

TEST_CASE("rules are added until two pages do not hold them: then the sheet is refused whole") {
    Criteria criteria = some_criteria(0);
    std::string refusal = "none";
    int rules = 10;
    while (refusal == "none" && rules < 100) {
        criteria = some_criteria(++rules);
        refusal = refusal_of(criteria);
    }
    CAPTURE(rules, refusal);
    CHECK(rules > 25);
    CHECK_THAT(refusal, Catch::Contains("two pages do not hold it, by ") &&
                            Catch::Contains(std::to_string(rules) + " rules take ") &&
                            Catch::Contains("the longest of them (\"r") &&
                            Catch::Contains("write shorter sentences"));
    const Criteria last = some_criteria(rules - 1);
    const std::string text = text_of(last);
    for (const record::Criterion& rule : last.rules)
        CHECK_THAT(text, Catch::Contains(rule.say + " " + rule.when + " " + rule.tray));
    check_places(last);
}

TEST_CASE("one condition that is too long is named") {
    Criteria criteria = some_criteria();
    for (int i = 0; i < 400; ++i)
        criteria.rules[1].when += "; the cylinder of a lens is over 1.25 D";
    CHECK_THAT(refusal_of(criteria), Catch::Contains("the longest of them (\"r2\")"));
}

TEST_CASE("a word wider than its column is broken, and loses nothing") {
    Criteria criteria = some_criteria();
    criteria.rules[0].say = std::string(150, 'W');
    criteria.rules[0].tray = std::string(60, 'm');
    criteria.programme = std::string(150, 'M');
    criteria.rules_name = std::string(200, 'n');
    check_places(criteria);
    std::string text = text_of(criteria);
    std::erase(text, ' ');
    CHECK_THAT(text, Catch::Contains(criteria.rules[0].say) && Catch::Contains(criteria.rules[0].tray) &&
                         Catch::Contains(criteria.programme) && Catch::Contains(criteria.rules_name));
}

TEST_CASE(
    "Greek and Cyrillic sentences are drawn, and what the font has not is refused, and named with its rule") {
    Criteria criteria = some_criteria();
    criteria.programme = "Очки для всех";
    criteria.rules[0].say = "Ο φακός είναι πολύ ισχυρός";
    const std::string text = text_of(criteria);
    CHECK_THAT(text, Catch::Contains(criteria.programme) && Catch::Contains(criteria.rules[0].say));
    criteria.rules[1].say = "\u773C\u955C";
    CHECK_THAT(refusal_of(criteria), Catch::Contains("rule \"r2\"") && Catch::Contains("U+773C"));
    criteria = some_criteria();
    criteria.keep_tray = "stock\xFF";
    CHECK_THAT(refusal_of(criteria), Catch::Contains("the tray of what is kept: it is not UTF-8"));
}
