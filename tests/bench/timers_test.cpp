// Time behind the seam.
#include "host/bench/timers.hpp"

#include <boost/asio/io_context.hpp>
#include <catch2/catch.hpp>
#include <cstdlib>
#include <ctime>

#include "host/bench/computer_timers.hpp"

using namespace pairmark::bench;
using namespace std::chrono_literals;
using std::chrono::system_clock;

namespace {

constexpr system_clock::time_point evening =
    std::chrono::sys_days(std::chrono::year(2026) / 11 / 24) + 22h + 50min;

/// The time zone of this program, put back afterwards.
class Zone {
  public:
    explicit Zone(const char* zone) {
        if (const char* now = std::getenv("TZ")) before_ = now;
        set(zone);
    }
    ~Zone() { before_.empty() ? unset() : set(before_.c_str()); }

  private:
    static void set(const char* zone) {
        (void)setenv("TZ", zone, 1);
        tzset();
    }
    static void unset() {
        (void)unsetenv("TZ");
        tzset();
    }
    std::string before_;
};

}  // namespace

TEST_CASE(
    "Tasks run in the order of their time, and those of the same time in the order in which they came") {
    SteppedTimers timers(evening);
    std::string order;
    timers.after(20ms, [&] { order += 'c'; });
    timers.after(10ms, [&] { order += 'a'; });
    timers.after(10ms, [&] { order += 'b'; });
    timers.after(21ms, [&] { order += 'd'; });
    CHECK(timers.next_due() == 10ms);
    timers.advance(9ms);
    CHECK(order.empty());
    timers.advance(20ms);
    CHECK(order == "abc");
    CHECK(timers.next_due() == 21ms);
    timers.advance(21ms);
    CHECK(order == "abcd");
    CHECK_FALSE(timers.next_due());
}

TEST_CASE("A task runs once, at its own time, however far time goes on") {
    SteppedTimers timers(evening);
    std::vector<Milliseconds> ran;
    timers.after(10ms, [&] { ran.push_back(timers.now()); });
    timers.advance(1000ms);
    timers.advance(2000ms);
    CHECK(ran == std::vector<Milliseconds>{10ms});
    CHECK(timers.now() == 2000ms);
    CHECK(timers.wall() == evening + 2s);
}

TEST_CASE("A cancelled task does not run, whoever cancels it, and unknown ids are ignored") {
    SteppedTimers timers(evening);
    std::string order;
    const TimerId first = timers.after(10ms, [&] { order += '1'; });
    const TimerId third = timers.after(30ms, [&] { order += '3'; });
    timers.after(20ms, [&] {
        order += '2';
        timers.cancel(third);
    });
    timers.cancel(first);
    timers.cancel(first);
    timers.cancel(99);
    timers.advance(100ms);
    CHECK(order == "2");
}

TEST_CASE("A task may add tasks, and those that are due already run in the same step") {
    SteppedTimers timers(evening);
    std::vector<Milliseconds> ran;
    std::function<void()> again = [&] {
        ran.push_back(timers.now());
        timers.after(10ms, again);
    };
    timers.after(10ms, again);
    timers.advance(35ms);
    CHECK(ran == std::vector<Milliseconds>{10ms, 20ms, 30ms});
    CHECK(timers.next_due() == 40ms);
}

TEST_CASE("Stepped time never goes back, and a delay below zero is none") {
    SteppedTimers timers(evening);
    timers.advance(50ms);
    timers.advance(20ms);
    CHECK(timers.now() == 50ms);
    timers.after(-10ms, [] {});
    CHECK(timers.next_due() == 50ms);
}

TEST_CASE("The computer's timers run what is due and nothing that was cancelled") {
    boost::asio::io_context loop;
    ComputerTimers timers(loop);
    std::string order;
    const TimerId cancelled = timers.after(0ms, [&] { order += 'x'; });
    timers.after(0ms, [&] { order += 'a'; });
    timers.cancel(cancelled);
    loop.run();
    CHECK(order == "a");
}

TEST_CASE("Moments are told in UTC, days as the calendar has them here") {
    CHECK(utc_text(evening + 123ms) == "2026-11-24T22:50:00.123Z");
    CHECK(utc_text(evening + 7ms) == "2026-11-24T22:50:00.007Z");
    struct Row {
        const char* zone;  // POSIX: the sign is the other way round
        const char* day;
    };
    for (const Row& row :
         {Row{"UTC0", "2026-11-24"}, Row{"EAST-13", "2026-11-25"}, Row{"WEST+11", "2026-11-24"},
          Row{"NEAR-1", "2026-11-24"}, Row{"NEXT-2", "2026-11-25"}}) {
        CAPTURE(row.zone);
        const Zone zone(row.zone);
        CHECK(local_date(evening) == row.day);
        CHECK(utc_text(evening) == "2026-11-24T22:50:00.000Z");
    }
}

TEST_CASE("A moment's text names that moment, and no other text names any") {
    for (const auto moment : {evening + 123ms, evening, system_clock::time_point()})
        CHECK(moment_of(utc_text(moment)) == moment);
    for (const char* text :
         {"", "2026-11-24", "2026-11-24T22:50:00Z", "2026-13-24T22:50:00.000Z", "yesterday"})
        CHECK_FALSE(moment_of(text));
}
