// `pairmark rules`, as a person runs it: looking rules over, explaining a pair, the table and the sheet.
#include <catch2/catch.hpp>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "host/bench/rules_table.hpp"
#include "host/grading/typical_pairs.hpp"
#include "host/record/json.hpp"
#include "host/record/sha256.hpp"
#include "host/store/session.hpp"
#include "host/store/store.hpp"
#include "tests/cli/program.hpp"
#include "tests/outside/label_programs.hpp"

using namespace pairmark;
using namespace pairmark::tests;
using Catch::Contains;
using nlohmann::json;

namespace {

constexpr const char* noon = "2026-11-24T12:00:00.000Z";

std::string rules_text(const std::string& name, const std::string& members) {
    return R"({"name": ")" + name + R"(", "date": "2026-03-01", )" + members + "}";
}

/// One discarding rule "strong", over this cylinder.
std::string cylinders_to(const std::string& name, const std::string& limit) {
    return rules_text(name, R"("take_for_granted": {"looked_over": true}, "rules": [{"id": "strong",
        "verdict": "discard", "say": "Too strong", "when": {"quantity": "cylinder", "over": )" +
                                limit + "}}]");
}

std::string example_text() {
    return std::string(grading::default_rules_text());
}

std::string written(const FreshFolder& folder, const std::string& name, const std::string& text) {
    write_file(folder / name, text);
    return (folder / name).string();
}

/// A bench's day, event by event.
class Day {
  public:
    explicit Day(const FreshFolder& folder)
        : file((folder / "bench.db").string()), store_(store::Store::open(file)) {}

    void rules(const std::string& text) { put(record::TextInForce{"rules", record::sha256(text), text}); }
    void settings(const std::string& text) {
        put(record::TextInForce{"settings", record::sha256(text), text});
    }
    void act(const std::string& what, std::int64_t pair, record::Marks values = {},
             const std::string& text = {}) {
        put(record::Acted{what, pair, std::move(values), text});
    }
    void lens(record::Eye eye, int sphere, int cylinder = 0) {
        record::Event event = reading_of({"0123456789ABCDEF", 1, ++number_, 7});
        auto& lens = std::get<record::ReadingTaken>(event.body).reading.lenses[0];
        lens.eye = eye;
        lens.power = {optics::Dioptre::hundredths(sphere), optics::Dioptre::hundredths(cylinder),
                      cylinder == 0 ? 0.0 : 90.0};
        event.at = noon;
        store_.append(event);
    }
    void pair(int sphere, int cylinder = 0) {
        lens(record::Eye::right, sphere, cylinder);
        lens(record::Eye::left, sphere, cylinder);
    }
    std::string exported(const FreshFolder& folder) {
        std::ofstream out(folder / "day.jsonl", std::ios::binary);
        (void)store::export_session(store_, out);
        return (folder / "day.jsonl").string();
    }

    const std::string file;

  private:
    void put(record::EventBody body) {
        record::Event event{0, noon, std::move(body)};
        store_.append(event);
    }
    store::Store store_;
    std::uint32_t number_ = 0;
};

std::string pdf_text(const std::string& file) {
    std::string joined;
    for (const char c : outside::run("pdftotext -raw -enc UTF-8 " + file + " -"))
        if (c != '\n' && c != '\f' && c != ' ')
            joined += c;
        else if (joined.empty() || joined.back() != ' ')
            joined += ' ';
    return joined;
}

}  // namespace

TEST_CASE("rules check: the rules are named by name, date and hash, and counted") {
    const Run run = call({"rules", "check"});
    CHECK(run.status == 0);
    const Words lines = lines_of(run.out);
    REQUIRE(lines.size() == 3);
    CHECK(lines[0] == "Example programme, 2026-01-01 (the example programme)");
    CHECK(lines[1] == "SHA-256 " + record::sha256(example_text()));
    const auto count = json::parse(example_text())["rules"].size();
    CHECK_THAT(lines[2], Catch::StartsWith(std::to_string(count) + " rules: ") && Contains(" keep"));
}

TEST_CASE("rules check: every mistake is listed with its place and the nearest word, and ends with 2") {
    const FreshFolder folder;
    const std::string file = written(folder, "bad.json", rules_text("Bad", R"("rules": [
        {"id": "a", "verdict": "discrad", "say": "s", "when": {"quantity": "cylinder", "ovr": 2}}])"));
    for (const char* command : {"check", "table"}) {
        const Run run = call({"rules", command, "--rules", file});
        CHECK(run.status == 2);
        CHECK(run.out.empty());
        CHECK_THAT(run.err, Contains(file) && Contains("rules[0].verdict") &&
                                Contains("did you mean \"discard\"?") && Contains("rules[0].when") &&
                                Contains("did you mean \"over\"?"));
    }
    const Run none = call({"rules", "check", "--rules", (folder / "none.json").string()});
    CHECK(none.status == 2);
    CHECK_THAT(none.err, Contains("cannot read") && Contains("none.json"));
}

TEST_CASE("rules check: what is seldom meant is remarked, and is no mistake") {
    const FreshFolder folder;
    const std::string file = written(folder, "odd.json", rules_text("Odd", R"("rules": [
        {"id": "form", "verdict": "ask", "say": "s", "when": {"quantity": "difference_sphere", "over": 1}},
        {"id": "rims", "verdict": "ask", "say": "s", "when": {"mark": "rim", "is": ["none"]}}])"));
    const Run run = call({"rules", "check", "--rules", file});
    CHECK(run.status == 0);
    CHECK_THAT(run.out, Contains("remark: rules[0] (form) difference_sphere depends") &&
                            Contains("remark: rules[1] (rims) asks of every pair"));
}

TEST_CASE("rules check: by the bench's configuration, also what its instrument does not report") {
    const FreshFolder folder;
    write_file(folder / "rules.json", rules_text("Near", R"("rules": [
        {"id": "near", "verdict": "discard", "say": "s", "when": {"quantity": "addition", "over": 0}},
        {"id": "wide", "verdict": "ask", "say": "s", "when": {"quantity": "centre_distance", "over": 70}}])"));
    write_file(folder / "profile.json", bytes_of(in_source_tree("demo/instrument.profile.json")));
    const std::string config =
        written(folder, "bench.json", R"({"rules": "rules.json", "profile": "profile.json"})");
    Run run = call({"rules", "check", "--config", config});
    CHECK(run.status == 0);
    CHECK_THAT(run.out, Contains("Near, 2026-03-01") && Contains("does not report an addition (") &&
                            Contains("does not report the centre distance (") && !Contains("prism"));
    json profile = json::parse(bytes_of(folder / "profile.json"));
    profile["shapes"][0]["items"].push_back(
        {{"optional", {{{"number", "addition"}, {"width", 4}, {"decimals", 2}, {"point", "."}}}}});
    write_file(folder / "profile.json", profile.dump());
    run = call({"rules", "check", "--config", config});
    CHECK(run.status == 0);
    CHECK_THAT(run.out, !Contains("an addition") && Contains("the centre distance"));
    write_file(folder / "profile.json", "{}");
    run = call({"rules", "check", "--config", config});
    CHECK(run.status == 2);
    CHECK_THAT(run.err, Contains("profile.json"));
    write_file(folder / "bench.json", R"({"rulse": "x"})");
    CHECK(call({"rules", "check", "--config", config}).status == 2);
    CHECK(call({"rules", "check", "--config", config, "--rules", "x"}).status == 2);
}

TEST_CASE("rules explain: a pair is explained by the rules that decided it, whatever came into force since") {
    const FreshFolder folder;
    Day day(folder);
    day.rules(cylinders_to("First", "2"));
    day.pair(-200, -150);
    day.rules(cylinders_to("Second", "1"));
    day.pair(-200, -150);
    const Run first = call({"rules", "explain", "1", "--database", day.file});
    CHECK(first.status == 0);
    CHECK_THAT(first.out, Contains("rules \"First\" of 2026-03-01, SHA-256 " +
                                   record::sha256(cylinders_to("First", "2")).substr(0, 12) +
                                   ", which decided it at event 3"));
    CHECK_THAT(
        first.out,
        Contains("does not hold   discard  strong  the cylinder of a lens is over 2.00 D (here 1.50 D)"));
    CHECK_THAT(first.out, Contains("verdict: keep, tray stock"));
    const Run second = call({"rules", "explain", "2", "--database", day.file});
    CHECK_THAT(second.out, Contains("\"Second\"") && Contains("holds           discard  strong") &&
                               Contains("verdict: discard, tray discard") &&
                               Contains("strong: Too strong (1.50, limit 1.00)"));
    // The same of an exported session, and of the bench's configuration.
    CHECK(call({"rules", "explain", "2", "--session", day.exported(folder)}).out == second.out);
    const std::string config = written(folder, "bench.json", R"({"database": "bench.db"})");
    CHECK(call({"rules", "explain", "2", "--config", config}).out == second.out);
}

TEST_CASE("rules explain: by other rules it says so, and the day's verdict stays") {
    const FreshFolder folder;
    Day day(folder);
    day.rules(cylinders_to("First", "2"));
    day.pair(-200, -150);
    const std::string other = written(folder, "other.json", cylinders_to("Other", "1.25"));
    const Run run = call({"rules", "explain", "1", "--database", day.file, "--rules", other});
    CHECK(run.status == 0);
    CHECK_THAT(run.out, Contains("pair 1, decided") && Contains("\"Other\"") &&
                            Contains("named instead of those of the day") &&
                            Contains("over 1.25 D (here 1.50 D)") && Contains("verdict: discard"));
    const json object =
        json::parse(call({"rules", "explain", "1", "--database", day.file, "--rules", other, "--json"}).out);
    CHECK(object["rules"]["by"] == "other");
    CHECK(object["rules"]["sha256"] == record::sha256(cylinders_to("Other", "1.25")));
    CHECK(object["verdict"]["verdict"] == "discard");
    CHECK(object["state"] == "decided");
}

TEST_CASE("rules explain: JSON has what was measured, every rule and the verdict") {
    const FreshFolder folder;
    Day day(folder);
    day.pair(-205, -450);
    day.act("mark", 1, {{"tint", "dark"}});
    const Run run = call({"rules", "explain", "1", "--database", day.file, "--json"});
    CHECK(run.status == 0);
    const json object = json::parse(run.out);
    CHECK(object["pair"] == 1);
    CHECK(object["state"] == "turned-down");
    CHECK(object["rules"]["by"] == "decided");
    CHECK(object["right"]["measured"]["sphere"] == -2.05);
    CHECK(object["right"]["label"]["sphere"] == -2.0);
    CHECK(object["marks"] == json{{"tint", "dark"}});
    const json example = json::parse(example_text());
    REQUIRE(object["conditions"].size() == example["rules"].size());
    std::size_t found = 0;
    for (std::size_t i = 0; i < example["rules"].size(); ++i) {
        const json& one = object["conditions"][i];
        CHECK(one["rule"] == example["rules"][i]["id"]);
        if (one["rule"] == "strong-cylinder") {
            CHECK(one["truth"] == "holds");
            CHECK(one["seen"] == 4.5);
            CHECK(one["limit"] == 2.0);
            ++found;
        }
        if (one["rule"] == "dark-tint") {
            CHECK(one["truth"] == "holds");
            CHECK(one["seen"] == "dark");
            ++found;
        }
    }
    CHECK(found == 2);
    CHECK(object["verdict"]["reasons"].size() == 2);
}

TEST_CASE("rules explain: what is not known, not measured, not decided or decided by a person is said") {
    const FreshFolder folder;
    Day day(folder);
    day.settings(R"({"programme": "P", "looked_over": "key"})");
    const std::string rules = rules_text("Asking", R"("rules": [
        {"id": "tint", "verdict": "discard", "say": "s", "when": {"mark": "tint", "is": ["dark"]}},
        {"id": "both", "verdict": "ask", "say": "s", "when": {"all": [{"quantity": "addition", "over": 0},
            {"not": {"mark": "rim", "is": ["full"]}}]}}])");
    day.rules(rules);
    day.pair(-200);
    const auto explain = [&](const std::string& pair) {
        return call({"rules", "explain", pair, "--database", day.file});
    };
    Run run = explain("1");
    CHECK(run.status == 0);
    CHECK_THAT(run.out, Contains("the newest in force; the pair is not decided yet") &&
                            Contains("cannot be told  discard  tint  marked tint: dark (not known)") &&
                            Contains("all of these:") &&
                            Contains("cannot be told  not marked rim: full (not known)") &&
                            Contains("nobody said that it is in order"));
    day.act("turn-down", 1, {}, "the \x1B[1m hinge");
    run = explain("1");
    CHECK_THAT(run.out,
               Contains("a person decided, not they") && Contains("turned-down: the \\x1B[1m hinge"));
    CHECK(run.out.find('\x1B') == std::string::npos);
    day.lens(record::Eye::right, -100);
    run = explain("2");
    CHECK(run.status == 0);
    CHECK_THAT(run.out, Contains("left      not measured") && Contains("half-pair"));
}

TEST_CASE("rules explain: a pair that is not there, or was taken back, ends with a word about it") {
    const FreshFolder folder;
    Day day(folder);
    day.pair(-200);
    day.lens(record::Eye::right, -300);
    day.act("undo", 2);
    Run run = call({"rules", "explain", "3", "--database", day.file});
    CHECK(run.status == 2);
    CHECK_THAT(run.err, Contains("there is no pair 3; the last is 2"));
    run = call({"rules", "explain", "2", "--database", day.file});
    CHECK(run.status == 1);
    CHECK_THAT(run.err, Contains("pair 2 was taken back whole"));
    for (const Words& words :
         {Words{"rules", "explain", "1"}, Words{"rules", "explain", "0", "--database", day.file},
          Words{"rules", "explain", "1", "--database", day.file, "--session", "x"},
          Words{"rules", "explain", "1", "--session", "none.jsonl"}, Words{"rules"}}) {
        run = call(words);
        CHECK(run.status == 2);
        CHECK_FALSE((run.err + run.out).empty());
    }
}

TEST_CASE("rules table: the limits of the example programme stand where its rules say") {
    const Run run = call({"rules", "table"});
    CHECK(run.status == 0);
    const std::string rules = cylinders_to("R", "1.5");
    const auto rows = bench::rules_table(grading::parse_rules(rules));
    const auto has = [&rows](const std::string& from, const std::string& to, record::Decision verdict,
                             const std::string& rule) {
        return std::any_of(rows.begin(), rows.end(), [&](const bench::RulesRow& row) {
            return row.from == from && row.to == to && row.verdict == verdict && row.rule == rule;
        });
    };
    CHECK(has("-20.00", "20.00", record::Decision::keep, ""));
    CHECK(has("0.00", "-1.50", record::Decision::keep, ""));
    CHECK(has("-1.75", "-6.00", record::Decision::discard, "strong"));
    CHECK_THAT(run.out, Contains("both lenses alike, no cylinder; sphere, D\n") &&
                            Contains("tint=dark              discard  "));
}

TEST_CASE("rules table: every row's ends are judged as the row says, and rows of a series leave no gap") {
    const grading::Rules rules = grading::parse_rules(example_text());
    const auto rows = bench::rules_table(rules);
    const std::string series = "both lenses alike, no cylinder; sphere, D";
    double next = -20;
    int looked_at = 0;
    for (const bench::RulesRow& row : rows) {
        if (row.series != series) continue;
        ++looked_at;
        CHECK(std::stod(row.from) == next);
        next = std::stod(row.to) + 0.25;
        for (const std::string& end : {row.from, row.to}) {
            const optics::Power lens{optics::Dioptre::nearest(std::stod(end)), {}, 0};
            CAPTURE(end);
            CHECK(grading::grade_at_bench(rules, grading::typical_pair(lens, lens)).decision == row.verdict);
        }
    }
    CHECK(next == 20.25);
    CHECK(looked_at == 5);
}

TEST_CASE("rules table: as CSV no cell begins a formula") {
    const FreshFolder folder;
    const std::string file =
        written(folder, "r.json", rules_text("R", R"("trays": {"keep": "=1+1", "discard": "@x"},
        "rules": [{"id": "-cmd", "verdict": "discard", "say": "s", "when": {"quantity": "cylinder", "over": 2}}])"));
    const Run run = call({"rules", "table", "--rules", file, "--csv"});
    CHECK(run.status == 0);
    Words lines = lines_of(run.out);
    REQUIRE(lines.size() > 10);
    CHECK(lines[0] == "series,from,to,verdict,tray,rule\r");
    CHECK_THAT(run.out, Contains(",keep,'=1+1,") && Contains(",discard,'@x,'-cmd\r"));
    CHECK_THAT(run.out, Contains("\"both lenses alike, no cylinder; sphere, D\",-20.00,20.00,keep"));
}

TEST_CASE("rules sheet: every sentence of the rules stands on it, and their hash, and twice the same bytes") {
    const FreshFolder folder;
    const std::string first = (folder / "a.pdf").string();
    const std::string second = (folder / "b.pdf").string();
    const Run run = call({"rules", "sheet", "--out", first});
    CHECK(run.status == 0);
    CHECK((run.out + run.err).empty());
    CHECK(call({"rules", "sheet", "--out", second}).status == 0);
    CHECK(bytes_of(first) == bytes_of(second));
    const std::string text = pdf_text(first);
    const json rules = json::parse(example_text());
    for (const json& rule : rules["rules"])
        CHECK_THAT(text, Contains(rule["say"].get<std::string>()));
    CHECK_THAT(text, Contains("the cylinder of a lens is over 2.00 D discard") && Contains(" additions "));
    const std::string hash = record::sha256(example_text());
    CHECK_THAT(text, Contains("Rules \"Example programme\" of 2026-01-01, SHA-256 " + hash.substr(0, 12)) &&
                         Contains("SHA-256 " + hash));
    CHECK_THAT(text, Contains("page 1 of 2") && Contains("page 2 of 2"));
}

TEST_CASE(
    "rules sheet: by the bench's configuration it bears the programme's name, and the key if pairs are "
    "looked over there") {
    const FreshFolder folder;
    const std::string out = (folder / "a.pdf").string();
    const std::string config =
        written(folder, "bench.json", R"({"programme": "Lantern Quay", "looked_over": "key"})");
    REQUIRE(call({"rules", "sheet", "--config", config, "--out", out}).status == 0);
    CHECK_THAT(pdf_text(out), Catch::StartsWith("Lantern Quay ") && Contains("Press \"looked over\""));
    write_file(folder / "bench.json", R"({"programme": "Lantern Quay", "looked_over": "earlier"})");
    REQUIRE(call({"rules", "sheet", "--config", config, "--out", out}).status == 0);
    CHECK_THAT(pdf_text(out), !Contains("Press \"looked over\""));
}

TEST_CASE("rules sheet: rules that two pages do not hold are refused whole, and no file is made") {
    const FreshFolder folder;
    json rules = json::parse(cylinders_to("Long", "2"));
    const json rule = rules["rules"][0];
    for (int i = 0; i < 90; ++i) {
        rules["rules"].push_back(rule);
        rules["rules"].back()["id"] = "r" + std::to_string(i);
    }
    rules["rules"].back()["say"] = std::string(190, 'x');
    const std::string file = written(folder, "long.json", rules.dump());
    const std::string out = (folder / "long.pdf").string();
    Run run = call({"rules", "sheet", "--rules", file, "--out", out});
    CHECK(run.status == 2);
    CHECK_THAT(run.err,
               Contains("two pages do not hold it") && Contains("91 rules take ") && Contains("(\"r89\")"));
    CHECK_FALSE(std::filesystem::exists(out));
    run = call({"rules", "sheet", "--out", (folder / "no" / "a.pdf").string()});
    CHECK(run.status == 1);
    CHECK_THAT(run.err, Contains("cannot write"));
    std::filesystem::create_directory(folder / "a.pdf");
    run = call({"rules", "sheet", "--out", (folder / "a.pdf").string()});
    CHECK(run.status == 1);
    CHECK(std::distance(std::filesystem::directory_iterator(folder / "."), {}) == 2);
}
