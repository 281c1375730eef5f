// What the program says of itself.
#include <algorithm>
#include <catch2/catch.hpp>

#include "tests/cli/program.hpp"

using namespace pairmark::tests;

namespace {

/// The commands that a help text lists under "Subcommands:".
Words commands_in(const std::string& help) {
    Words commands;
    bool listed = false;
    for (const std::string& line : lines_of(help)) {
        if (line == "Subcommands:") {
            listed = true;
        } else if (listed && line.rfind("  ", 0) == 0 && line.size() > 2 && line[2] != ' ') {
            commands.push_back(line.substr(2, line.find(' ', 2) - 2));
        } else if (listed && line.rfind("  ", 0) != 0) {
            break;
        }
    }
    return commands;
}

}  // namespace

TEST_CASE("Every command has a help that teaches, with an example") {
    const Run whole = call({"--help"});
    CHECK(whole.status == 0);
    const Words commands = commands_in(whole.out);
    for (const char* known : {"run", "replay", "ports", "label", "grade", "mark", "session", "shelf", "sheet",
                              "verify", "rules", "decode"})
        CHECK(std::find(commands.begin(), commands.end(), known) != commands.end());
    for (const std::string& command : commands) {
        CAPTURE(command);
        const Run help = call({command, "--help"});
        CHECK(help.status == 0);
        CHECK(help.err.empty());
        CHECK_THAT(help.out, Catch::Contains("Example") && Catch::Contains("pairmark " + command));
        for (const std::string& below : commands_in(help.out)) {
            CAPTURE(below);
            const Run deeper = call({command, below, "--help"});
            CHECK(deeper.status == 0);
            CHECK_THAT(deeper.out,
                       Catch::Contains("Example") && Catch::Contains("pairmark " + command + " " + below));
        }
    }
}

TEST_CASE("The program says its version") {
    const Run run = call({"--version"});
    CHECK(run.status == 0);
    CHECK(run.out == PAIRMARK_VERSION "\n");
}

TEST_CASE("A command line that is not understood ends with status 2 and a word about it") {
    for (const Words& words : {Words{}, Words{"print"}, Words{"run"}, Words{"run", "--confg", "x"},
                               Words{"replay"}, Words{"session"}, Words{"session", "export", "--out", "x"},
                               Words{"session", "import", "x"}, Words{"verify"}, Words{"shelf"},
                               Words{"sheet"}, Words{"grade", "--step", "0.3"}, Words{"mark", "tint=dark"}}) {
        CAPTURE(words);
        const Run run = call(words);
        CHECK(run.status == 2);
        CHECK_FALSE((run.err + run.out).empty());
    }
}

TEST_CASE("Ports are listed, or the program says to plug the adapter in") {
    const Run run = call({"ports"});
    CHECK(run.status == 0);
    CHECK_THAT(run.out, Catch::Contains("/dev/") || Catch::Contains("plug the adapter in"));
}

TEST_CASE("A mark is looked over before a daemon is asked, and a missing daemon is named") {
    const FreshFolder folder;
    write_file(folder / "bench.json", "{}");
    const std::string config = (folder / "bench.json").string();
    const Run slip = call({"mark", "--config", config, "tint=drak"});
    CHECK(slip.status == 2);
    CHECK_THAT(slip.err, Catch::Contains("did you mean \"dark\"?"));
    const Run both = call({"mark", "--config", config, "--undo", "--release"});
    CHECK(both.status == 2);
    CHECK_THAT(both.err, Catch::Contains("say one thing"));
    const Run good = call({"mark", "--config", config, "tint=dark"});
    CHECK(good.status == 1);
    CHECK_THAT(good.err, Catch::Contains("no daemon answers") && Catch::Contains("pairmark run") &&
                             !Catch::Contains("/boost/"));
}
