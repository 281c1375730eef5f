// pairmark sheet: labels on A4 sheets, for an office printer.
#include <sys/stat.h>

#include <algorithm>
#include <iostream>
#include <memory>
#include <optional>
#include <string>

#include "host/bench/config.hpp"
#include "host/bench/label_settings.hpp"
#include "host/bench/sheet_folder.hpp"
#include "host/cli/commands.hpp"
#include "host/label/refused.hpp"
#include "host/label/render.hpp"
#include "host/record/json.hpp"
#include "host/store/store.hpp"

namespace pairmark::cli {
namespace {

using Labels = std::vector<store::StoredLabel>;

struct Options {
    std::string config;
    int skip_cells = 0;
    std::string grid;
    std::optional<double> left;
    std::optional<double> top;
    std::optional<double> step_x;
    std::optional<double> step_y;
    bool list = false;
};

[[noreturn]] void wrong(const std::string& option, const std::string& text, const std::string& expected) {
    throw CLI::ValidationError(option, "\"" + text + "\" is not understood; expected " + expected);
}

/// "3x7": columns and rows.
std::pair<int, int> counts_of(const std::string& text) {
    const std::size_t sign = text.find('x');
    const auto count = [&text](const std::string& digits) {
        if (digits.empty() || digits.size() > 2 ||
            digits.find_first_not_of("0123456789") != std::string::npos || digits.front() == '0')
            wrong("--grid", text, "COLUMNSxROWS, like \"3x7\"");
        return std::stoi(digits);
    };
    if (sign == std::string::npos) wrong("--grid", text, "COLUMNSxROWS, like \"3x7\"");
    return {count(text.substr(0, sign)), count(text.substr(sign + 1))};
}

/// Paper, grid and first cell of the sheets to be made. Throws LabelRefused for a grid that holds no label.
bench::SheetList sheets_like(const Options& options, const record::LabelPaper& paper) {
    bench::SheetList like;
    like.paper = paper;
    const auto [columns, rows] = options.grid.empty() ? std::pair(0, 0) : counts_of(options.grid);
    like.grid = bench::grid_for(paper, columns, rows);
    like.grid.left_mm = options.left.value_or(like.grid.left_mm);
    like.grid.top_mm = options.top.value_or(like.grid.top_mm);
    like.grid.pitch_x_mm = options.step_x.value_or(like.grid.pitch_x_mm);
    like.grid.pitch_y_mm = options.step_y.value_or(like.grid.pitch_y_mm);
    like.skip_cells = options.skip_cells;
    label::check_grid(like.grid, paper);
    if (bench::labels_a_page(paper, like.grid, like.skip_cells) == 0 ||
        bench::labels_a_page(paper, like.grid, 0) == 0)
        throw label::LabelRefused("sheet",
                                  "of its " + std::to_string(like.grid.columns * like.grid.rows) +
                                      " cells none is left for a pair's labels",
                                  "skip fewer cells, or put a fresh sheet in");
    return like;
}

/// Makes sheets and tells of them; counts what went wrong.
class SheetMaker {
  public:
    SheetMaker(const bench::SheetFolder& folder, const Labels& labels) : folder_(folder), labels_(labels) {}

    /// Sheets of which a cut left the list alone.
    void finish(const std::vector<bench::SheetList>& lists) {
        for (const bench::SheetList& list : lists) {
            if (folder_.has_document(list.sheet)) continue;
            const auto document = drawn(list);
            if (!document) continue;
            if (keep(list, *document))
                std::cout
                    << "  its document was missing; if that sheet was printed before, throw one of the two "
                       "away\n";
        }
    }

    void make(const bench::SheetList& list) {
        // Drawn before anything is kept: what cannot be drawn must not wait on a list for ever.
        const auto document = drawn(list);
        if (!document) return;
        const printing::Result kept = folder_.keep_list(list);
        if (kept.outcome != record::PrintOutcome::printed) return fault(kept.say);
        (void)keep(list, *document);
    }

    void fault(const std::string& say) {
        ++faults_;
        std::cerr << "pairmark: " << say << "\n";
    }
    int faults() const { return faults_; }

  private:
    std::optional<std::string> drawn(const bench::SheetList& list) {
        try {
            const auto facts = bench::facts_on(list, labels_);
            if (facts.empty()) return std::nullopt;  // all void by now: there is nothing to stick on anything
            return label::render_sheet(facts, list.paper, list.grid, list.skip_cells);
        } catch (const label::LabelRefused& refused) {
            fault(bench::sheet_name(list.sheet) + ": " + refused.what());
        } catch (const record::BadRecord& bad) {
            fault(bench::sheet_name(list.sheet) + ".json: " + bad.what() +
                  "; was the store replaced? Move that list away if its labels are not from here");
        }
        return std::nullopt;
    }

    bool keep(const bench::SheetList& list, const std::string& document) {
        const printing::Result kept = folder_.keep_document(list.sheet, document);
        if (kept.outcome != record::PrintOutcome::printed) {
            fault(kept.say);
            return false;
        }
        const std::size_t count = list.numbers.size() - bench::void_on(list, labels_).size();
        std::cout << (folder_.path() / (bench::sheet_name(list.sheet) + ".pdf")).string() << ": " << count
                  << (count == 1 ? " label" : " labels") << " of " << list.numbers.front() << " to "
                  << list.numbers.back() << "\n";
        return true;
    }

    const bench::SheetFolder& folder_;
    const Labels& labels_;
    int faults_ = 0;
};

/// Labels that cannot be drawn on this paper are named and left for later; the others must not wait for them.
Labels without_refused(const Labels& labels, const std::vector<bench::SheetList>& lists,
                       const bench::SheetList& like, SheetMaker& maker) {
    std::vector<std::string> refused;
    for (const bench::SheetList& sheet : bench::next_sheets(labels, lists, like)) {
        for (const record::LabelFacts& facts : bench::facts_on(sheet, labels)) {
            try {
                (void)label::render_document(facts, like.paper);
            } catch (const label::LabelRefused& why) {
                maker.fault(facts.number + " is on no sheet: " + why.what());
                refused.push_back(facts.number);
            }
        }
    }
    Labels drawable;
    for (const store::StoredLabel& label : labels)
        if (std::find(refused.begin(), refused.end(), label.number) == refused.end())
            drawable.push_back(label);
    return drawable;
}

void name_void(const std::vector<bench::SheetList>& lists, const Labels& labels) {
    for (const bench::SheetList& list : lists)
        for (const std::string& number : bench::void_on(list, labels))
            std::cout << "tear up label " << number << " (" << bench::sheet_name(list.sheet) << ")\n";
}

int tell_lists(const std::filesystem::path& path, const Labels& labels) {
    if (!std::filesystem::exists(path)) {
        std::cout << "no sheet yet\n";
        return 0;
    }
    const bench::SheetFolder folder(path);
    const auto lists = folder.lists();
    for (const bench::SheetList& list : lists) {
        std::cout << bench::sheet_name(list.sheet)
                  << (folder.has_document(list.sheet) ? "" : "  (no document: `pairmark sheet` draws it)")
                  << "\n";
        for (const std::string& number : list.numbers)
            std::cout << "  " << number << "\n";
    }
    if (lists.empty()) std::cout << "no sheet yet\n";
    name_void(lists, labels);
    return 0;
}

int make_sheets(const Options& options) {
    const bench::Config config = bench::load_config(options.config);
    const bench::SheetList like = sheets_like(options, config.label.paper);
    const Labels labels = store::Store::open_to_read(config.database).labels();
    const std::filesystem::path path = config.labels / "sheets";
    if (options.list) return tell_lists(path, labels);
    (void)umask(0077);
    const bench::SheetFolder folder(path);
    const auto before = folder.lists();
    SheetMaker maker(folder, labels);
    maker.finish(before);
    const Labels drawable = without_refused(labels, before, like, maker);
    const auto sheets = bench::next_sheets(drawable, before, like);
    for (const bench::SheetList& list : sheets)
        maker.make(list);
    if (sheets.empty()) std::cout << "no label waits for a sheet\n";
    name_void(before, labels);
    return maker.faults() > 0 ? 1 : 0;
}

}  // namespace

void add_sheet(CLI::App& app, int& status) {
    CLI::App* command = app.add_subcommand("sheet", "put labels on A4 sheets, for an office printer");
    auto options = std::make_shared<Options>();
    command->add_option("--config", options->config, "the bench's configuration")->required();
    command
        ->add_option("--skip-cells", options->skip_cells,
                     "cells of the first sheet that are used already, counted row by row from the top left")
        ->check(CLI::NonNegativeNumber);
    command->add_option("--grid", options->grid,
                        "COLUMNSxROWS of the sheet, like 3x7; without it as many as fit, to be cut apart");
    command->add_option("--left", options->left, "from the page's left edge to the first cell, mm");
    command->add_option("--top", options->top, "from the page's top edge to the first cell, mm");
    command->add_option("--step-x", options->step_x, "from one cell's left edge to the next one's, mm");
    command->add_option("--step-y", options->step_y, "from one cell's top edge to the next one's, mm");
    command->add_flag("--list", options->list, "tell what is on which sheet, and make none");
    command->footer(
        "Every label that is valid and on no sheet yet goes onto the next ones, once: LABELS/sheets/"
        "sheet-0001.pdf and so on,\n"
        "each with its list beside it (sheet-0001.json). Keep the lists: they say what is out. A label that "
        "became void after its\n"
        "sheet was made is named, to be torn up. Print at 100 %, not \"fit to page\". The bench may run "
        "meanwhile.\nExamples:\n"
        "  pairmark sheet --config bench.json\n"
        "  pairmark sheet --config bench.json --grid 3x7 --left 8 --top 9 --step-x 65 --step-y 40 "
        "--skip-cells "
        "4\n"
        "  pairmark sheet --config bench.json --list");
    command->callback([options, &status] {
        try {
            status = make_sheets(*options);
        } catch (const bench::BadConfig& bad) {
            std::cerr << "pairmark: " << bad.what() << "\n";
            status = 2;
        } catch (const label::LabelRefused& refused) {
            std::cerr << "pairmark: " << refused.what() << "\n";
            status = 2;
        }
    });
}

}  // namespace pairmark::cli
