// How long a durable commit of one reading takes: median and 99th percentile, microseconds. Beside them a
// bare append with fdatasync in the same folder, so that the disk's own share can be told.
#include <fcntl.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <filesystem>
#include <string>
#include <vector>

#include "host/store/store.hpp"

namespace {

using namespace pairmark;
using Clock = std::chrono::steady_clock;

record::Event reading(std::uint32_t number) {
    record::ReadingTaken taken;
    taken.id = record::AdapterEventId{"0123456789ABCDEF", 1, number, number};
    taken.reading.lenses = {{record::Eye::right,
                             {optics::Dioptre::hundredths(-125), optics::Dioptre::hundredths(-50), 85},
                             {},
                             {}}};
    taken.reading.step = optics::Dioptre::hundredths(25);
    taken.age_ms = 12;
    return {0, "2026-11-24T22:50:00.123Z", taken};
}

template <typename Work>
void measure(const char* what, int count, Work work) {
    std::vector<double> us;
    for (int i = 0; i < count; ++i) {
        const auto before = Clock::now();
        work(i);
        us.push_back(std::chrono::duration<double, std::micro>(Clock::now() - before).count());
    }
    std::sort(us.begin(), us.end());
    std::printf("%-28s median %7.0f us   p99 %7.0f us   of %d\n", what, us[us.size() / 2],
                us[us.size() * 99 / 100], count);
}

}  // namespace

int main(int argc, char** argv) {
    const std::filesystem::path folder = argc > 1 ? argv[1] : "/tmp/pairmark-store-commit";
    const int count = argc > 2 ? std::stoi(argv[2]) : 2000;
    std::filesystem::remove_all(folder);
    std::filesystem::create_directories(folder);
    {
        const int file = ::open((folder / "bare").c_str(), O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0600);
        const std::string bytes(200, 'b');
        bool sound = file >= 0;
        measure("append 200 B and fdatasync", count, [&](int) {
            sound = sound && ::write(file, bytes.data(), bytes.size()) == 200 && ::fdatasync(file) == 0;
        });
        ::close(file);
        if (!sound) return 1;
    }
    {
        store::Store opened = store::Store::open(folder / "store.db");
        measure("append event and commit", count, [&opened](int i) {
            store::Transaction transaction = opened.begin();
            record::Event event = reading(static_cast<std::uint32_t>(i) + 1);
            opened.append(event);
            transaction.commit();
        });
        std::int64_t read = 0;
        const auto before = Clock::now();
        opened.for_each_event([&read](const record::Event&) { ++read; });
        const std::chrono::duration<double, std::micro> took = Clock::now() - before;
        std::printf("%-28s %.1f us an event, %lld read\n", "read back",
                    took.count() / static_cast<double>(read), static_cast<long long>(read));
    }
    std::filesystem::remove_all(folder);
    return 0;
}
