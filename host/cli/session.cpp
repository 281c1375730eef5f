// pairmark session: a store's events as a file, and such a file again as a store.
#include "host/store/session.hpp"

#include <fstream>
#include <iostream>
#include <memory>
#include <string>

#include "host/bench/config.hpp"
#include "host/bench/event_line.hpp"
#include "host/bench/import_session.hpp"
#include "host/cli/commands.hpp"
#include "host/cli/store_file.hpp"
#include "host/record/json.hpp"

namespace pairmark::cli {
namespace {

struct Options {
    std::string config;
    std::string database;
    std::string out;
    std::string file;
    bool json = false;
};

std::filesystem::path database_in(const Options& options) {
    return options.database.empty() ? bench::load_config(options.config).database
                                    : std::filesystem::path(options.database);
}

int export_to_file(const Options& options) {
    const std::filesystem::path database = database_in(options);
    if (!std::filesystem::exists(database)) {
        std::cerr << "pairmark: there is no database " << database.string()
                  << "; check the configuration's \"database\"\n";
        return 1;
    }
    const store::Store store = store::Store::open_to_read(database);
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

int import_from_file(const Options& options) {
    std::ifstream in(options.file, std::ios::binary);
    if (!in || std::filesystem::is_directory(options.file)) {
        std::cerr << "pairmark: cannot read " << options.file << "; check its name and its permissions\n";
        return 2;
    }
    try {
        // Read first: a file that is refused must not leave an empty store behind.
        const bench::SessionToImport session = bench::read_to_import(in);
        store::Store store = store::Store::open(database_in(options));
        const bench::Imported imported = bench::import_session(store, session);
        if (imported.added == 0) {
            std::cout << "all " << imported.events
                      << " events are in the store already; nothing was changed\n";
            return 0;
        }
        const bench::Derived& derived = session.derived;
        std::cout << imported.added << " events added, " << imported.events - imported.added
                  << " were there; now " << derived.pairs.size() << " pairs, " << derived.labels.size()
                  << " numbers; labels given here are in series " << imported.series << "\n";
        if (!derived.open_pairs.empty())
            std::cout << "half pairs, which ask before anything joins them: " << derived.open_pairs.size()
                      << "\n";
        if (!derived.unlabelled.empty())
            std::cout << "kept pairs without a label, which belongs to the bench that measured them: "
                      << derived.unlabelled.size() << "\n";
        return 0;
    } catch (const record::BadRecord& bad) {
        std::cerr << "pairmark: " << options.file << ": " << bad.what()
                  << "; nothing was imported: export the session once more\n";
        return 2;
    } catch (const bench::BadConfig& bad) {
        std::cerr << "pairmark: " << bad.what() << "\n";
        return 2;
    } catch (const bench::ImportRefused& refused) {
        std::cerr << "pairmark: " << refused.what() << "\n";
        return 1;
    }
}

int show_events(const Options& options) {
    bench::EventLines lines;
    try {
        for_each_event_of(options.file, [&](const record::Event& event) {
            const bench::EventLines::Line line = lines.take(event);
            if (options.json)
                std::cout << line.object.dump(-1, ' ', true, nlohmann::json::error_handler_t::replace)
                          << "\n";
            else
                std::cout << line.text << "\n";
        });
    } catch (const std::exception& wrong) {
        // What was shown before is right; here it goes on no more.
        std::cout << std::flush;
        std::cerr << "pairmark: " << wrong.what() << "\n";
        return 2;
    }
    std::cout << std::flush;
    return 0;
}

void add_export(CLI::App& command, int& status) {
    CLI::App* to_file =
        command.add_subcommand("export", "write every event of a store to a file that replay reads");
    auto options = std::make_shared<Options>();
    auto* config = to_file->add_option("--config", options->config,
                                       "the bench's configuration; its database is exported");
    to_file->add_option("--database", options->database, "the database itself")->excludes(config);
    to_file->add_option("--out", options->out, "the file to write")->required();
    to_file->footer(
        "The daemon may run: the file holds what was kept up to one moment.\nExample:\n"
        "  pairmark session export --config bench.json --out monday.jsonl");
    to_file->callback([options, &status] {
        if (options->config.empty() && options->database.empty())
            throw CLI::RequiredError("--config or --database");
        status = export_to_file(*options);
    });
}

void add_import(CLI::App& command, int& status) {
    CLI::App* from_file =
        command.add_subcommand("import", "take an exported session into an empty store, whole or not at all");
    auto options = std::make_shared<Options>();
    from_file->add_option("file", options->file, "a file made by `pairmark session export`")->required();
    auto* config = from_file->add_option("--config", options->config,
                                         "the bench's configuration; its database takes the session");
    from_file
        ->add_option("--database", options->database, "the database itself; it is made if it is not there")
        ->excludes(config);
    from_file->footer(
        "The store must be empty, or hold a beginning of that same session: then the rest is added, and the "
        "same "
        "session again\n"
        "changes nothing. A file that was cut or changed is refused with its line. Nothing is printed for "
        "it, and no "
        "number is\n"
        "given; a kept pair that had no label on the day gets none here. The daemon must be "
        "stopped.\nExample:\n"
        "  pairmark session import monday.jsonl --database monday.db");
    from_file->callback([options, &status] {
        if (options->config.empty() && options->database.empty())
            throw CLI::RequiredError("--config or --database");
        status = import_from_file(*options);
    });
}

void add_show(CLI::App& command, int& status) {
    CLI::App* show = command.add_subcommand(
        "show", "every event as a line, with the pair, verdict and label that came of it");
    auto options = std::make_shared<Options>();
    show->add_option("store", options->file, "an exported session, or a database")->required();
    show->add_flag("--json", options->json, "a JSON object a line instead of text");
    show->footer(
        "Times are UTC. Of rules and settings only the hash is shown. The bench may run "
        "meanwhile.\nExamples:\n"
        "  pairmark session show monday.jsonl\n"
        "  pairmark session show pairmark.db --json");
    show->callback([options, &status] { status = show_events(*options); });
}

}  // namespace

void add_session(CLI::App& app, int& status) {
    CLI::App* command =
        app.add_subcommand("session", "carry a day's events away as a file, look at it, take it in");
    command->require_subcommand(1);
    command->footer("Example:\n  pairmark session export --config bench.json --out monday.jsonl");
    add_export(*command, status);
    add_import(*command, status);
    add_show(*command, status);
}

}  // namespace pairmark::cli
