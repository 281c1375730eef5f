#include "host/cli/grade.hpp"

#include <CLI/CLI.hpp>
#include <array>
#include <cmath>
#include <cstdlib>
#include <fstream>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>
#include <span>
#include <sstream>

#include "host/grading/nearest_word.hpp"
#include "host/optics/rounding.hpp"
#include "host/record/json.hpp"
#include "host/record/words.hpp"

namespace pairmark::cli {

namespace {

using Json = nlohmann::json;
using Ordered = nlohmann::ordered_json;
using record::BadRecord;

constexpr double strongest_sphere = 30;
constexpr double strongest_cylinder = 12;
constexpr double strongest_addition = 10;
constexpr double narrowest_centres = 10;  // mm
constexpr double widest_centres = 120;
constexpr std::size_t longest_line = 64 * 1024;

std::string shown(const Json& json) {
    if (json.is_string()) return record::in_quotes(json.get_ref<const std::string&>());
    return json.is_structured() ? std::string(json.is_object() ? "an object" : "a list") : json.dump();
}

const Json* member(const Json& object, const char* name) {
    const auto found = object.find(name);
    return found == object.end() || found->is_null() ? nullptr : &*found;
}

void refuse_slips(const Json& object, const std::string& place, std::span<const std::string_view> known) {
    for (const auto& [name, value] : object.items()) {
        const std::string_view nearest = grading::nearest_word(name, known);
        if (!nearest.empty() && nearest != name) {
            throw BadRecord(place + "there is no member " + record::in_quotes(name) + "; did you mean \"" +
                            std::string(nearest) + "\"?");
        }
    }
}

double number_within(const Json& value, const std::string& place, double least, double most) {
    const double number = value.is_number() ? value.get<double>() : std::nan("");
    if (number >= least && number <= most) return number;
    std::ostringstream say;
    say << place << ": expected a number from " << least << " to " << most << ", not " << shown(value);
    throw BadRecord(say.str());
}

double required_number(const Json& object, const std::string& place, const char* name, double limit) {
    const auto found = object.find(name);
    if (found == object.end()) throw BadRecord(place + "." + name + ": missing; expected a number");
    return number_within(*found, place + "." + name, -limit, limit);
}

record::MeasuredLens lens_from(const Json& line, const char* eye, optics::Dioptre step) {
    const std::string place = eye;
    const Json* json = member(line, eye);
    if (json == nullptr) throw BadRecord(place + ": missing; expected both lenses");
    if (!json->is_object()) throw BadRecord(place + ": expected an object, not " + shown(*json));
    constexpr std::array<std::string_view, 4> known{"sphere", "cylinder", "axis", "add"};
    refuse_slips(*json, place + ": ", known);

    record::MeasuredLens lens;
    optics::Power& power = lens.reading.power;
    power.sphere = optics::Dioptre::nearest(required_number(*json, place, "sphere", strongest_sphere));
    power.cylinder = optics::Dioptre::nearest(required_number(*json, place, "cylinder", strongest_cylinder));
    const Json* axis = member(*json, "axis");
    if (power.cylinder != optics::Dioptre{}) {
        if (axis == nullptr) throw BadRecord(place + ".axis: missing; a cylinder has one, from 0 to 180");
        power.axis = number_within(*axis, place + ".axis", 0, 180);
    } else if (axis != nullptr && !axis->is_number()) {
        throw BadRecord(place + ".axis: expected a number or null, not " + shown(*axis));
    }
    if (const Json* addition = member(*json, "add")) {
        lens.reading.addition =
            optics::Dioptre::nearest(number_within(*addition, place + ".add", 0, strongest_addition));
    }
    if (step == optics::Dioptre::millionths(125'000)) {
        power = optics::repair_cut_eighths(power);
        if (lens.reading.addition) lens.reading.addition = optics::repair_cut_eighth(*lens.reading.addition);
    }
    lens.reading.eye = eye == std::string_view("right") ? record::Eye::right : record::Eye::left;
    lens.step = step;
    return lens;
}

record::Marks marks_from(const Json& json) {
    if (!json.is_object())
        throw BadRecord("marks: expected an object, as in {\"tint\": \"none\"}, not " + shown(json));
    record::Marks marks;
    for (const auto& [name, value] : json.items()) {
        if (value.is_null()) continue;  // unknown, as if it were absent
        const std::string text = value.is_string() ? value.get<std::string>() : value.dump();
        if (const auto fault = record::fault_in_mark(name, text)) throw BadRecord("marks: " + *fault);
        marks.emplace(name, text);
    }
    return marks;
}

Json parse_line(const std::string& line) {
    if (line.size() > longest_line) throw BadRecord("the line is longer than 64 kB");
    Json parsed;
    try {
        parsed = Json::parse(line);
    } catch (const Json::parse_error& error) {
        throw BadRecord("column " + std::to_string(error.byte) + ": not JSON from here");
    } catch (const Json::exception&) {
        throw BadRecord("a number in it is too large for JSON");
    }
    if (!parsed.is_object())
        throw BadRecord("expected an object with \"right\" and \"left\", not " + shown(parsed));
    return parsed;
}

Ordered power_json(const optics::Power& power) {
    Ordered json;
    json["sphere"] = power.sphere.value();
    json["cylinder"] = power.cylinder.value();
    json["axis"] = nullptr;
    if (power.cylinder != optics::Dioptre{}) json["axis"] = static_cast<int>(power.axis);
    return json;
}

Ordered number_or_word(const std::optional<std::string>& text, bool is_number) {
    if (!text) return nullptr;
    if (is_number) return std::strtod(text->c_str(), nullptr);
    return *text;
}

grading::Rules rules_from(const std::string& file) {
    if (file.empty()) return grading::parse_rules(grading::default_rules_text());
    std::ifstream in(file, std::ios::binary);
    std::ostringstream text;
    if (!in || !(text << in.rdbuf()))
        throw std::runtime_error("the rules cannot be read; is it the right file?");
    return grading::parse_rules(text.str());
}

constexpr const char* help_end = R"(
One pair a line on standard input, in plus or minus cylinder; only the powers are required:
  {"right": {"sphere": -1.25, "cylinder": -0.5, "axis": 85, "add": null},
   "left":  {"sphere": -1.00, "cylinder": 0, "axis": null}, "centres": 62.0, "marks": {"tint": "none"}}
(on one line). The answer is one line too: verdict, tray, the powers as they would stand on the label,
and every reason with its value and its limit. A mark that is not given is unknown; "looked_over": true
says that everything else is in order.

Example:
  echo '{"right":{"sphere":-1,"cylinder":-4.5,"axis":90},"left":{"sphere":-1,"cylinder":0}}' | pairmark grade

Exit status: 0; 2 if a line could not be read (its answer is {"error": ...}, the others are graded);
1 if the rules could not be read.
)";

}  // namespace

record::Pair pair_from_line(const std::string& line, optics::Dioptre step) {
    const Json json = parse_line(line);
    constexpr std::array<std::string_view, 5> known{"right", "left", "centres", "marks", "looked_over"};
    refuse_slips(json, "", known);
    record::Pair pair;
    pair.state = record::PairState::complete;
    pair.right = lens_from(json, "right", step);
    pair.left = lens_from(json, "left", step);
    if (const Json* centres = member(json, "centres")) {
        pair.centres_mm = number_within(*centres, "centres", narrowest_centres, widest_centres);
    }
    if (const Json* marks = member(json, "marks")) pair.marks = marks_from(*marks);
    if (const Json* looked_over = member(json, "looked_over")) {
        if (!looked_over->is_boolean()) {
            throw BadRecord("looked_over: expected true or false, not " + shown(*looked_over));
        }
        pair.looked_over = looked_over->get<bool>();
    }
    return pair;
}

std::string line_of(const record::Verdict& verdict) {
    Ordered json;
    json["verdict"] = record::word(verdict.decision);
    json["tray"] = verdict.tray;
    json["right"] = power_json(verdict.right);
    json["left"] = power_json(verdict.left);
    json["reasons"] = Ordered::array();
    for (const record::Reason& reason : verdict.reasons) {
        Ordered one;
        one["rule"] = reason.rule;
        one["say"] = reason.say;
        one["value"] = number_or_word(reason.value, reason.value_is_number);
        one["limit"] = number_or_word(reason.limit, reason.value_is_number);
        json["reasons"].push_back(std::move(one));
    }
    return json.dump();
}

int run_grade(std::istream& in, std::ostream& out, const GradeOptions& options) {
    int status = 0;
    std::string line;
    for (std::size_t number = 1; std::getline(in, line); ++number) {
        if (line.find_first_not_of(" \t\r") == std::string::npos) continue;
        try {
            out << line_of(grading::grade(options.rules, pair_from_line(line, options.step))) << '\n';
        } catch (const BadRecord& bad) {
            const Ordered error{{"error", "line " + std::to_string(number) + ": " + bad.what()}};
            out << error.dump(-1, ' ', false, Json::error_handler_t::replace) << '\n';
            status = 2;
        }
    }
    out.flush();
    return status;
}

void add_grade(CLI::App& app, int& status) {
    struct Chosen {
        std::string rules_file;
        double step = 0.25;
    };
    const auto chosen = std::make_shared<Chosen>();
    CLI::App* command =
        app.add_subcommand("grade", "Say of pairs, given as numbers, whether the rules would keep them");
    command
        ->add_option("--rules", chosen->rules_file,
                     "The programme's rules (docs/rules.md); without it the example's")
        ->type_name("FILE");
    command
        ->add_option(
            "--step", chosen->step,
            "Step of the instrument that the numbers come from: 0.25, 0.125 or 0.01. At 0.125 the numbers\n"
            ".12 .37 .62 .87 are taken as the eighths that they stand for; else numbers are taken literally")
        ->check(CLI::IsMember({0.25, 0.125, 0.01}));
    command->footer(help_end);
    command->callback([chosen, &status] {
        GradeOptions options;
        options.step = optics::Dioptre::nearest(chosen->step);
        try {
            options.rules = rules_from(chosen->rules_file);
        } catch (const std::runtime_error& error) {
            std::cerr << "pairmark grade: " << (chosen->rules_file.empty() ? "" : chosen->rules_file + ": ")
                      << error.what() << '\n';
            status = 1;
            return;
        }
        status = run_grade(std::cin, std::cout, options);
    });
}

}  // namespace pairmark::cli
