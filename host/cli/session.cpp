// pairmark session: a store's events as a file.
#include "host/store/session.hpp"

#include <fstream>
#include <iostream>
#include <memory>
#include <string>

#include "host/bench/config.hpp"
#include "host/cli/commands.hpp"

namespace pairmark::cli {
namespace {

struct Options {
    std::string config;
    std::string database;
    std::string out;
};

int export_to_file(const Options& options) {
    const std::filesystem::path database = options.database.empty()
                                               ? bench::load_config(options.config).database
                                               : std::filesystem::path(options.database);
    if (!std::filesystem::exists(database)) {
        std::cerr << "pairmark: there is no database " << database.string()
                  << "; check the configuration's \"database\"\n";
        return 1;
    }
    store::Store store = store::Store::open(database);
    const std::filesystem::path out = options.out;
    const std::filesystem::path part = out.string() + ".part";
    std::ofstream file(part, std::ios::binary | std::ios::trunc);
    const std::int64_t events = store::export_session(store, file);
    file.close();
    // A file that is there is whole: a full disk must not leave half a session under the name that was asked
    // for.
    if (!file) {
        std::cerr << "pairmark: cannot write " << part.string()
                  << "; check the folder, its permissions and the free space\n";
        return 1;
    }
    std::filesystem::rename(part, out);
    std::cerr << events << " events written to " << out.string() << "\n";
    return 0;
}

}  // namespace

void add_session(CLI::App& app, int& status) {
    CLI::App* command = app.add_subcommand("session", "carry a day's events away as a file");
    command->require_subcommand(1);
    command->footer("Example:\n  pairmark session export --config bench.json --out monday.jsonl");
    CLI::App* to_file =
        command->add_subcommand("export", "write every event of a store to a file that replay reads");
    auto options = std::make_shared<Options>();
    auto* config = to_file->add_option("--config", options->config,
                                       "the bench's configuration; its database is exported");
    to_file->add_option("--database", options->database, "the database itself")->excludes(config);
    to_file->add_option("--out", options->out, "the file to write")->required();
    to_file->footer(
        "The daemon must be stopped: a store has one user at a time.\nExample:\n"
        "  pairmark session export --config bench.json --out monday.jsonl");
    to_file->callback([options, &status] {
        if (options->config.empty() && options->database.empty())
            throw CLI::RequiredError("--config or --database");
        status = export_to_file(*options);
    });
}

}  // namespace pairmark::cli
