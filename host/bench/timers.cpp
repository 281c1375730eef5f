#include "host/bench/timers.hpp"

#include <algorithm>
#include <array>
#include <cstdio>
#include <ctime>

#include "host/record/words.hpp"

namespace pairmark::bench {

using std::chrono::system_clock;

TimerId SteppedTimers::after(Milliseconds delay, Task task) {
    const TimerId id = next_++;
    tasks_.emplace(id, Pending{now_ + std::max(delay, Milliseconds(0)), std::move(task)});
    return id;
}

void SteppedTimers::advance(Milliseconds to) {
    for (;;) {
        auto earliest = tasks_.end();
        for (auto it = tasks_.begin(); it != tasks_.end(); ++it)
            if (it->second.due <= to && (earliest == tasks_.end() || it->second.due < earliest->second.due))
                earliest = it;
        if (earliest == tasks_.end()) break;
        now_ = std::max(now_, earliest->second.due);
        const Task task = std::move(earliest->second.task);
        tasks_.erase(earliest);
        task();
    }
    now_ = std::max(now_, to);
}

std::optional<Milliseconds> SteppedTimers::next_due() const {
    std::optional<Milliseconds> due;
    for (const auto& [id, pending] : tasks_)
        if (!due || pending.due < *due) due = pending.due;
    return due;
}

std::string utc_text(system_clock::time_point time) {
    const auto ms = std::chrono::duration_cast<Milliseconds>(time.time_since_epoch()).count();
    const std::time_t seconds = static_cast<std::time_t>(ms / 1000);
    std::tm fields{};
    (void)gmtime_r(&seconds, &fields);
    std::array<char, 40> text{};
    const std::size_t n = std::strftime(text.data(), text.size(), "%Y-%m-%dT%H:%M:%S", &fields);
    std::string out(text.data(), n);
    const std::string thousandths = std::to_string(1000 + ms % 1000);
    return out + "." + thousandths.substr(1) + "Z";
}

std::optional<system_clock::time_point> moment_of(const std::string& utc) {
    int year = 0;
    int month = 0;
    int day = 0;
    int hours = 0;
    int minutes = 0;
    int seconds = 0;
    int thousandths = 0;
    if (!record::is_moment(utc) || std::sscanf(utc.c_str(), "%d-%d-%dT%d:%d:%d.%dZ", &year, &month, &day,
                                               &hours, &minutes, &seconds, &thousandths) != 7)
        return std::nullopt;
    using namespace std::chrono;
    return sys_days(std::chrono::year(year) / month / day) + std::chrono::hours(hours) +
           std::chrono::minutes(minutes) + std::chrono::seconds(seconds) + Milliseconds(thousandths);
}

std::string local_date(system_clock::time_point time) {
    const std::time_t seconds = system_clock::to_time_t(time);
    std::tm fields{};
    (void)localtime_r(&seconds, &fields);
    std::array<char, 16> text{};
    return {text.data(), std::strftime(text.data(), text.size(), "%Y-%m-%d", &fields)};
}

}  // namespace pairmark::bench
