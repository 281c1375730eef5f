// Many varied labels and their pictures, for programs that are too slow to be started for each.
#pragma once

#include <cstdio>
#include <random>
#include <string>
#include <vector>

#include "host/label/render.hpp"
#include "tests/label/facts_for_tests.hpp"
#include "tests/outside/label_programs.hpp"

namespace pairmark::outside {

/// Facts with varied powers, numbers and places; the same for the same seed. Sphere -20 to +20 D, cylinder to
/// -12 D.
inline std::vector<record::LabelFacts> varied_labels(int count, unsigned seed) {
    std::mt19937 random(seed);  // its numbers are fixed by the C++ standard; a distribution's are not
    const auto below = [&random](unsigned n) { return static_cast<int>(random() % n); };
    const auto draw_lens = [&] {
        const int cylinder = below(4) == 0 ? 0 : -25 * (1 + below(48));
        return label_tests::lens(-2000 + 25 * below(161), cylinder, cylinder == 0 ? 0 : 1 + below(180));
    };
    std::vector<record::LabelFacts> all;
    for (int i = 0; i < count; ++i) {
        const optics::Power right = draw_lens();
        record::LabelFacts facts = label_tests::facts_of(right, draw_lens());
        facts.number = label::print_number({"K7", "A", 1 + below(99'999)});
        facts.place = "Box " + std::to_string(1 + below(99)) + "-" + std::to_string(10 + below(40));
        if (below(3) == 0) {
            facts.right_addition = label_tests::hundredths(75 + 25 * below(10));
            facts.left_addition = facts.right_addition;
            facts.addition_kind = below(2) == 0 ? "segment" : "progressive";
        }
        all.push_back(facts);
    }
    return all;
}

/// The labels' pictures, as files in `folder`, in order.
inline std::vector<std::string> pictures_of(const std::vector<record::LabelFacts>& labels,
                                            const record::LabelPaper& paper, const WorkFolder& folder,
                                            const char* dots_per_inch = eight_dots_a_mm) {
    std::vector<std::string> pictures;
    constexpr std::size_t batch = 65;
    for (std::size_t first = 0; first < labels.size(); first += batch) {
        std::string files;
        const std::size_t end = std::min(first + batch, labels.size());
        for (std::size_t i = first; i < end; ++i) {
            const std::string file = folder / (std::to_string(i) + ".pdf");
            std::ofstream(file, std::ios::binary) << label::render_document(labels[i], paper);
            files += file + ' ';
        }
        const std::string joined = folder / ("joined" + std::to_string(first) + ".pdf");
        run("pdfunite " + files + joined);
        const std::string name = folder / ("picture" + std::to_string(first));
        run(std::string("pdftoppm -gray -r ") + dots_per_inch + ' ' + joined + ' ' + name);
        const std::size_t digits = std::to_string(end - first).size();
        for (std::size_t page = 1; page <= end - first; ++page) {
            std::string number = std::to_string(page);
            number.insert(0, digits - number.size(), '0');
            pictures.push_back(name + '-' + number + ".pgm");
        }
    }
    return pictures;
}

}  // namespace pairmark::outside
