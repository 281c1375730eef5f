// A folder of a test's own, gone afterwards; and the things that the tests of the store do again and again.
#pragma once

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <stdexcept>
#include <string>

#include "host/store/store.hpp"

namespace pairmark::tests {

class FreshFolder {
  public:
    FreshFolder() {
        std::string name = (std::filesystem::temp_directory_path() / "pairmark-store-XXXXXX").string();
        if (::mkdtemp(name.data()) == nullptr) throw std::runtime_error("no folder for the test");
        path_ = name;
    }
    ~FreshFolder() {
        std::error_code ignored;
        std::filesystem::remove_all(path_, ignored);
    }
    FreshFolder(const FreshFolder&) = delete;
    FreshFolder& operator=(const FreshFolder&) = delete;
    std::filesystem::path operator/(const std::string& name) const { return path_ / name; }

  private:
    std::filesystem::path path_;
};

inline std::string bytes_of(const std::filesystem::path& file) {
    std::ifstream in(file, std::ios::binary);
    std::ostringstream out;
    out << in.rdbuf();
    return out.str();
}

inline void write_file(const std::filesystem::path& file, const std::string& bytes) {
    std::ofstream(file, std::ios::binary | std::ios::trunc) << bytes;
}

inline record::Event noted(const std::string& what, const std::string& say = "") {
    return {0, "2026-11-24T22:50:00.123Z", record::Noted{what, say}};
}

inline record::Event reading_of(const record::AdapterEventId& id) {
    record::ReadingTaken taken;
    taken.id = id;
    taken.reading.lenses = {{record::Eye::right, {optics::Dioptre::hundredths(-125), {}, 0}, {}, {}}};
    taken.reading.step = optics::Dioptre::hundredths(25);
    return {0, "2026-11-24T22:50:00.123Z", taken};
}

inline record::LabelFacts facts_of(const std::string& number) {
    record::LabelFacts facts;
    facts.number = number;
    facts.date = "2026-11-24";
    facts.place = "box 1";
    return facts;
}

/// What opening says; empty if it opens.
inline std::string complaint_at_opening(const std::filesystem::path& path) {
    try {
        store::Store::open(path);
        return "";
    } catch (const store::StoreFault& fault) {
        return fault.what();
    }
}

}  // namespace pairmark::tests
