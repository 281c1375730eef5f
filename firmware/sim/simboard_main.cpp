// pairmark-simboard: the adapter's board as a program, with pseudo-terminals for its two serial ports and a
// socket for its time, its keys and its lamps. Linked with libsimavr and therefore, as a whole, under the GPL
// version 3: for tests and the demo, not shipped.

#include <getopt.h>
#include <signal.h>
#include <sys/signalfd.h>
#include <unistd.h>

#include <charconv>
#include <cstdio>
#include <cstring>
#include <exception>
#include <stdexcept>
#include <string>

#include "firmware/sim/board.hpp"
#include "firmware/sim/clients.hpp"
#include "firmware/sim/eeprom_file.hpp"
#include "firmware/sim/pty_port.hpp"
#include "firmware/sim/timekeeper.hpp"

namespace {

constexpr char help[] =
    "usage: pairmark-simboard --firmware ELF --socket PATH --host-port PATH --instrument-port PATH\n"
    "                         [--eeprom FILE] [--fast [--expect N]] [--seed N]\n"
    "  --firmware ELF          image for the ATmega2560 at 16 MHz\n"
    "  --eeprom FILE           the EEPROM: loaded if the file exists, written at exit and on `save`\n"
    "  --socket PATH           Unix socket for time, keys and lamps\n"
    "  --host-port PATH        link to make, to the pseudo-terminal of the host's serial port\n"
    "  --instrument-port PATH  the same for the instrument's\n"
    "  --fast                  the simulator owns time; otherwise it is real time\n"
    "  --expect N              with --fast: time stands still until N clients have joined\n"
    "  --seed N                decides what is left to chance: torn bytes, SRAM at power on\n"
    "  --help, --version\n";

struct Settings {
    std::string firmware;
    std::string eeprom;
    std::string socket;
    std::string host_port;
    std::string instrument_port;
    bool fast = false;
    unsigned expect = 0;
    unsigned long seed = 1;
    bool done = false;  // help or version was asked for
};

template <typename Number>
Number read_number(const char* text, const char* option) {
    Number value{};
    const auto [end, wrong] = std::from_chars(text, text + std::strlen(text), value);
    if (wrong != std::errc() || *end != '\0')
        throw std::runtime_error(std::string(option) + " wants a number, not " + text);
    return value;
}

Settings read_arguments(int count, char** words) {
    static const option known[] = {{"firmware", required_argument, nullptr, 'f'},
                                   {"eeprom", required_argument, nullptr, 'e'},
                                   {"socket", required_argument, nullptr, 's'},
                                   {"host-port", required_argument, nullptr, 'h'},
                                   {"fast", no_argument, nullptr, 'F'},
                                   {"instrument-port", required_argument, nullptr, 'i'},
                                   {"expect", required_argument, nullptr, 'n'},
                                   {"seed", required_argument, nullptr, 'r'},
                                   {"help", no_argument, nullptr, '?' + 256},
                                   {"version", no_argument, nullptr, 'v'},
                                   {nullptr, 0, nullptr, 0}};
    Settings settings;
    for (int which = 0; (which = getopt_long(count, words, "", known, nullptr)) != -1;) {
        switch (which) {
            case 'f':
                settings.firmware = optarg;
                break;
            case 'e':
                settings.eeprom = optarg;
                break;
            case 's':
                settings.socket = optarg;
                break;
            case 'h':
                settings.host_port = optarg;
                break;
            case 'i':
                settings.instrument_port = optarg;
                break;
            case 'F':
                settings.fast = true;
                break;
            case 'n':
                settings.expect = read_number<unsigned>(optarg, "--expect");
                break;
            case 'r':
                settings.seed = read_number<unsigned long>(optarg, "--seed");
                break;
            case 'v':
                (void)std::puts("pairmark-simboard 0.1.0 (linked with libsimavr: GPL-3 as a whole)");
                settings.done = true;
                return settings;
            case '?' + 256:
                (void)std::fputs(help, stdout);
                settings.done = true;
                return settings;
            default:
                throw std::runtime_error("see --help");
        }
    }
    if (optind != count)
        throw std::runtime_error(std::string("unexpected argument ") + words[optind] + "; see --help");
    if (settings.firmware.empty() || settings.socket.empty() || settings.host_port.empty() ||
        settings.instrument_port.empty())
        throw std::runtime_error(
            "--firmware, --socket, --host-port and --instrument-port are needed; see --help");
    return settings;
}

int watch_for_end() {
    sigset_t ends;
    sigemptyset(&ends);
    sigaddset(&ends, SIGINT);
    sigaddset(&ends, SIGTERM);
    sigprocmask(SIG_BLOCK, &ends, nullptr);
    return signalfd(-1, &ends, SFD_CLOEXEC | SFD_NONBLOCK);
}

void run(const Settings& settings) {
    using namespace pairmark::sim;
    const int ends = watch_for_end();
    Board board(settings.firmware, settings.seed);
    if (!settings.eeprom.empty())
        if (const auto cells = load_eeprom(settings.eeprom)) board.eeprom().load(*cells);
    const auto save = [&] {
        if (!settings.eeprom.empty()) save_eeprom(settings.eeprom, board.eeprom().cells());
    };
    PtyPort host(settings.host_port);
    PtyPort instrument(settings.instrument_port);
    Clients clients(settings.socket);
    board.power_on();
    {
        Timekeeper time(board, host, instrument, clients, save);
        if (settings.fast)
            time.run_fast(ends, settings.expect);
        else
            time.run_real_time(ends);
    }
    // The simulator's end is not the supply's: a byte being written is finished.
    board.run_until([&] { return !board.eeprom().busy(); }, eeprom_write_cycles);
    save();
    close(ends);
}

}  // namespace

int main(int count, char** words) {
    try {
        const Settings settings = read_arguments(count, words);
        if (!settings.done) run(settings);
        return 0;
    } catch (const std::exception& wrong) {
        (void)std::fprintf(stderr, "pairmark-simboard: %s\n", wrong.what());
        return 1;
    }
}
