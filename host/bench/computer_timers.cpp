#include "host/bench/computer_timers.hpp"

namespace pairmark::bench {

using std::chrono::system_clock;

Milliseconds ComputerTimers::now() const {
    return std::chrono::duration_cast<Milliseconds>(std::chrono::steady_clock::now().time_since_epoch());
}

system_clock::time_point ComputerTimers::wall() const {
    return system_clock::now();
}

TimerId ComputerTimers::after(Milliseconds delay, Task task) {
    const TimerId id = next_++;
    auto [timer, inserted] = timers_.try_emplace(id, loop_, delay);
    timer->second.async_wait([this, id, run = std::move(task)](boost::system::error_code error) {
        if (error) return;
        timers_.erase(id);
        run();
    });
    return id;
}

void ComputerTimers::cancel(TimerId id) {
    timers_.erase(id);
}

}  // namespace pairmark::bench
