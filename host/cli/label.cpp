// pairmark label: one label from typed powers, to try layouts and printers.
#include <cmath>
#include <fstream>
#include <iostream>
#include <memory>
#include <sstream>
#include <string>

#include "host/bench/label_settings.hpp"
#include "host/bench/timers.hpp"
#include "host/cli/commands.hpp"
#include "host/label/number.hpp"
#include "host/label/refused.hpp"
#include "host/label/render.hpp"
#include "host/optics/compare.hpp"
#include "host/optics/rounding.hpp"
#include "host/record/mark.hpp"

namespace pairmark::cli {
namespace {

struct Options {
    std::string right;
    std::string left;
    std::string additions;
    std::string kind;
    std::string number;
    std::string place = "sample";
    std::string programme = "Trial label";
    std::string date;
    double centres = 0;
    std::string addition_by;
    std::string frame_size;
    std::string wearer;
    std::string style;
    std::string rim;
    bool single_vision = false;
    std::string extra;
    std::string size = "60x40";
    int dots = 203;
    std::string spectacles;
    std::string out;
};

[[noreturn]] void wrong(const std::string& option, const std::string& text, const std::string& expected) {
    throw CLI::ValidationError(option, "\"" + text + "\" is not understood; expected " + expected);
}

/// "-1.25 -0.50 85" or "+2.00". A true minus is read as a minus.
optics::Power power_of(const std::string& option, std::string text) {
    const std::string given = text;
    for (std::size_t at = text.find("\u2212"); at != std::string::npos; at = text.find("\u2212"))
        text.replace(at, 3, "-");
    std::istringstream in(text);
    double sphere = 0;
    double cylinder = 0;
    double axis = 0;
    const char* const expected = "sphere, or sphere cylinder axis, like \"-1.25 -0.50 85\"";
    if (!(in >> sphere)) wrong(option, given, expected);
    if (!(in >> std::ws).eof() && (!(in >> cylinder >> axis) || !(in >> std::ws).eof()))
        wrong(option, given, expected);
    if (!(std::abs(sphere) <= 30)) wrong(option, given, "a sphere within 30 D");
    if (!(std::abs(cylinder) <= 12)) wrong(option, given, "a cylinder within 12 D");
    if (cylinder != 0 && !(axis >= 0 && axis <= 180)) wrong(option, given, "an axis from 1 to 180");
    const optics::Power power{optics::Dioptre::nearest(sphere), optics::Dioptre::nearest(cylinder), axis};
    return optics::on_label(power);
}

void additions(const Options& options, record::LabelFacts& facts) {
    if (options.additions.empty()) return;
    std::istringstream in(options.additions);
    double right = 0;
    double left = 0;
    if (!(in >> right >> left) || !(in >> std::ws).eof() ||
        !(right >= 0 && right <= 8 && left >= 0 && left <= 8))
        wrong("--additions", options.additions, "the right and the left addition, like \"2.00 2.00\"");
    facts.right_addition = optics::Dioptre::nearest(right);
    facts.left_addition = optics::Dioptre::nearest(left);
    facts.addition_kind = options.kind;
}

/// A fact that is also a mark takes the mark's values.
void fact(const std::string& option, const char* mark, const std::string& value, std::string& into) {
    if (value.empty()) return;
    if (const auto fault = record::fault_in_mark(mark, value)) throw CLI::ValidationError(option, *fault);
    into = value;
}

void frame(const Options& options, record::LabelFacts& facts) {
    fact("--addition-by", "addition_by", options.addition_by, facts.addition_by);
    fact("--frame-size", "frame_size", options.frame_size, facts.frame_size);
    fact("--style", "style", options.style, facts.style);
    fact("--rim", "rim", options.rim, facts.rim);
    facts.wearer = options.wearer;
    facts.single_vision = options.single_vision;
    facts.extra = options.extra;
}

record::LabelPaper paper_of(const Options& options) {
    const auto size = [](const std::string& option, const std::string& text,
                         const bench::SizeLimits& limits) {
        const auto found = bench::size_from(text, limits);
        if (!found) wrong(option, text, limits.expected());
        return *found;
    };
    record::LabelPaper paper;
    paper.size = size("--size", options.size, bench::envelope_label);
    paper.dots_per_inch = options.dots;
    if (!options.spectacles.empty())
        paper.for_spectacles = size("--spectacles", options.spectacles, bench::spectacles_label);
    return paper;
}

int make_label(const Options& options) {
    record::LabelFacts facts;
    facts.right = power_of("--right", options.right);
    facts.left = power_of("--left", options.left);
    facts.right_equivalent = optics::spherical_equivalent(facts.right);
    facts.left_equivalent = optics::spherical_equivalent(facts.left);
    additions(options, facts);
    frame(options, facts);
    const record::LabelPaper paper = paper_of(options);
    facts.number = options.number.empty() ? label::print_number({"TEST", "X", 1}) : options.number;
    facts.date = options.date.empty() ? bench::local_date(std::chrono::system_clock::now()) : options.date;
    facts.place = options.place;
    facts.programme = options.programme;
    if (options.centres != 0) facts.centres_mm = options.centres;
    facts.typed = true;
    std::string document;
    try {
        document = label::render_document(facts, paper);
    } catch (const label::LabelRefused& refused) {
        std::cerr << "pairmark: " << refused.what() << "\n";
        return 2;
    }
    std::ofstream file(options.out, std::ios::binary | std::ios::trunc);
    file << document;
    file.close();
    if (file) return 0;
    std::cerr << "pairmark: cannot write " << options.out
              << "; check the folder, its permissions and the free space\n";
    return 1;
}

}  // namespace

void add_label(CLI::App& app, int& status) {
    CLI::App* command = app.add_subcommand("label", "make one label from typed powers, as a PDF");
    auto options = std::make_shared<Options>();
    command
        ->add_option("--right", options->right,
                     "right lens: \"SPHERE [CYLINDER AXIS]\", plus or minus cylinder")
        ->required();
    command->add_option("--left", options->left, "left lens, likewise")->required();
    command->add_option("--additions", options->additions, "additions, \"RIGHT LEFT\"");
    command->add_option("--kind", options->kind, "what the additions are: segment or progressive");
    command->add_option("--addition-by", options->addition_by,
                        "which vertex power they were measured as: front or back");
    command->add_flag("--single-vision", options->single_vision, "looked at and found to have no addition");
    command->add_option("--centres", options->centres, "distance between the optical centres, mm");
    command->add_option("--number", options->number,
                        "a label number with its check character; without it a test number");
    command->add_option("--date", options->date, "YYYY-MM-DD; without it today");
    command->add_option("--place", options->place, "where the pair is filed");
    command->add_option("--programme", options->programme, "the programme's name");
    command->add_option("--frame-size", options->frame_size,
                        "S, M, L, or width of a lens's box, distance between the lenses and side, mm: "
                        "52-18-140");
    command->add_option("--wearer", options->wearer, "adult or child")
        ->check(CLI::IsMember({"adult", "child"}));
    command->add_option("--style", options->style, "women, men or either");
    command->add_option("--rim", options->rim, "full, cord or none");
    command->add_option("--extra", options->extra, "a line of the programme's own");
    command->add_option("--size", options->size, "WIDTHxHEIGHT, mm: 40x20 to 100x60; without it 60x40");
    command->add_option("--dpi", options->dots, "the print head's dots an inch, 203 or 300")
        ->check(CLI::IsMember({203, 300}));
    command->add_option("--spectacles", options->spectacles,
                        "a second page, of this size, for the spectacles themselves: from 30x12, mm");
    command->add_option("--out", options->out, "the PDF to write")->required();
    command->footer(
        "The powers are transposed to minus cylinder and rounded to 0.25 D, as the bench does it. The label "
        "says that its\n"
        "powers were typed. What does not fit on that size is refused, and the message says what to do; see "
        "\"label\" in the\n"
        "configuration for what the bench prints.\nExamples:\n"
        "  pairmark label --right \"+1.00\" --left \"+1.25\" --size 40x20 --spectacles 30x12 --out "
        "small.pdf\n"
        "  pairmark label --right \"-1.25 -0.50 85\" --left \"+2.00\" --centres 62 --out trial.pdf");
    command->callback([options, &status] { status = make_label(*options); });
}

}  // namespace pairmark::cli
