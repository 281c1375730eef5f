#include "host/store/generation.hpp"

#include <fstream>
#include <sstream>

#include "host/record/words.hpp"
#include "host/store/files.hpp"

namespace pairmark::store {
namespace {

constexpr std::string_view first_word = "pairmark-generation";
constexpr int form = 1;

bool is_series(std::string_view text) {
    return !text.empty() && text.size() <= 8 &&
           text.find_first_not_of("ABCDEFGHIJKLMNOPQRSTUVWXYZ") == std::string_view::npos;
}

}  // namespace

std::optional<Generation> read_generation(const std::filesystem::path& file) {
    refuse_unless_plain(file);
    std::ifstream in(file);
    std::string word;
    std::string before;
    int found_form = 0;
    Generation generation;
    in >> word >> found_form >> generation.current >> before >> generation.inode >> generation.series;
    const bool good = in && word == first_word && found_form == form &&
                      record::is_hex(generation.current, 16) &&
                      (before == "-" || record::is_hex(before, 16)) && is_series(generation.series);
    if (!good) return std::nullopt;
    if (before != "-") generation.before = before;
    return generation;
}

void write_generation(const std::filesystem::path& file, const Generation& generation) {
    std::ostringstream out;
    out << first_word << ' ' << form << ' ' << generation.current << ' ' << generation.before.value_or("-")
        << ' ' << generation.inode << ' ' << generation.series << '\n';
    replace_file(file, out.str());
}

std::string next_series(std::string_view series) {
    std::string next(series);
    for (auto letter = next.rbegin(); letter != next.rend(); ++letter) {
        if (*letter != 'Z') {
            ++*letter;
            return next;
        }
        *letter = 'A';
    }
    return "A" + next;
}

std::string later_series(std::string_view a, std::string_view b) {
    const bool a_is_later = a.size() != b.size() ? a.size() > b.size() : a > b;
    return std::string(a_is_later ? a : b);
}

}  // namespace pairmark::store
