// pairmark: one program, one command a task.
#include <exception>
#include <iostream>

#include "host/cli/commands.hpp"
#include "host/cli/grade.hpp"

int main(int argc, char** argv) {
    CLI::App app(
        "Pairmark takes readings from an electronic lens meter, checks each pair of donated spectacles "
        "against the\n"
        "programme's own rules, and makes the label for its envelope. It measures and labels; it does not "
        "prescribe.");
    app.name("pairmark");
    app.set_version_flag("--version", PAIRMARK_VERSION);
    app.require_subcommand(1);
    app.footer(
        "First steps:\n"
        "  pairmark ports                     which serial ports there are\n"
        "  pairmark run --config bench.json   the bench's daemon\n"
        "  pairmark COMMAND --help            what a command does, with an example");
    int status = 0;
    using namespace pairmark::cli;
    add_run(app, status);
    add_mark(app, status);
    add_labels(app, status);
    add_shelf(app, status);
    add_sheet(app, status);
    add_replay(app, status);
    add_session(app, status);
    add_verify(app, status);
    add_rules(app, status);
    add_grade(app, status);
    add_label(app, status);
    add_decode(app, status);
    add_ports(app, status);
    try {
        app.parse(argc, argv);
    } catch (const CLI::ParseError& error) {
        // Help and version are asked for; anything else on the command line is wrong input.
        return app.exit(error) == 0 ? 0 : 2;
    } catch (const std::exception& error) {
        std::cerr << "pairmark: " << error.what() << "\n";
        return 1;
    }
    return status;
}
