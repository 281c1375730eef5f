// How long a label takes and how large it is. Not a test: prints figures, judges nothing.
#include <algorithm>
#include <chrono>
#include <cstdio>
#include <ctime>
#include <string>
#include <vector>

#include "host/label/number.hpp"
#include "host/label/render.hpp"

int main() {
    using pairmark::optics::Dioptre;
    constexpr int labels = 2000;
    std::vector<double> microseconds;
    std::size_t largest = 0;
    const std::clock_t begin = std::clock();
    for (int i = 1; i <= labels; ++i) {
        pairmark::record::LabelFacts facts;
        facts.number = pairmark::label::print_number({"K7", "A", i});
        facts.date = "2026-11-24";
        facts.place = "Box " + std::to_string(i % 40);
        facts.programme = "Hillside spectacles";
        facts.right = {Dioptre::hundredths(-25 * (i % 60)), Dioptre::hundredths(-25 * (1 + i % 16)),
                       1.0 + i % 180};
        facts.left = {Dioptre::hundredths(25 * (i % 30)), {}, 0};
        facts.right_equivalent = facts.right.sphere.value() + facts.right.cylinder.value() / 2;
        facts.left_equivalent = facts.left.sphere.value();
        facts.centres_mm = 62.0;
        const auto start = std::chrono::steady_clock::now();
        const std::string document = pairmark::label::render_label(facts);
        const std::chrono::duration<double, std::micro> took = std::chrono::steady_clock::now() - start;
        microseconds.push_back(took.count());
        largest = std::max(largest, document.size());
    }
    const double processor = static_cast<double>(std::clock() - begin) / CLOCKS_PER_SEC * 1e6 / labels;
    std::sort(microseconds.begin(), microseconds.end());
    std::printf("labels %d  median %.0f us  p99 %.0f us  processor time each %.0f us  largest %zu bytes\n",
                labels, microseconds[labels / 2], microseconds[labels * 99 / 100], processor, largest);
}
