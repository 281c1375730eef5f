// pairmark shelf: what is in stock and where it is filed.
#include "host/bench/shelf.hpp"

#include <iostream>
#include <memory>
#include <string>

#include "host/bench/config.hpp"
#include "host/cli/commands.hpp"
#include "host/store/store.hpp"

namespace pairmark::cli {
namespace {

struct Options {
    std::string config;
    double near = 0;
    double within = 0.5;
    bool csv = false;
};

int show_shelf(const Options& options, bool near) {
    const bench::Config config = bench::load_config(options.config);
    const store::Store store = store::Store::open_to_read(config.database);
    std::optional<bench::Near> about;
    if (near) about = bench::Near{options.near, options.within};
    const auto pairs = bench::on_shelf(store.labels(), about);
    std::cout << (options.csv ? bench::shelf_csv(pairs) : bench::shelf_table(pairs)) << std::flush;
    return 0;
}

}  // namespace

void add_shelf(CLI::App& app, int& status) {
    CLI::App* command = app.add_subcommand(
        "shelf", "what is in stock, sorted by the right lens, and where each pair is filed");
    auto options = std::make_shared<Options>();
    command->add_option("--config", options->config, "the bench's configuration")->required();
    CLI::Option* near = command
                            ->add_option("--near", options->near,
                                         "only pairs whose right lens has about this spherical equivalent, D")
                            ->check(CLI::Range(-60.0, 60.0));
    command
        ->add_option("--within", options->within,
                     "how far from it the spherical equivalent may be, D; without it 0.50")
        ->check(CLI::Range(0.0, 60.0))
        ->needs(near);
    command->add_flag("--csv", options->csv, "for a spreadsheet, with every fact of the labels");
    command->footer(
        "Every pair with a valid label stands here once, the most minus right lens first. The bench may run "
        "meanwhile.\n"
        "A list is for finding: what fits a person is decided by an eye examination and by the label in "
        "hand.\nExamples:\n"
        "  pairmark shelf --config bench.json --near -1.50\n"
        "  pairmark shelf --config bench.json --csv > stock.csv");
    command->callback([options, near, &status] {
        try {
            status = show_shelf(*options, near->count() > 0);
        } catch (const bench::BadConfig& bad) {
            std::cerr << "pairmark: " << bad.what() << "\n";
            status = 2;
        }
    });
}

}  // namespace pairmark::cli
