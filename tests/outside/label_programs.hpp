// Outside programs on a label's PDF: poppler-utils, qpdf, zbar-tools, tesseract. A missing program fails the
// test and is named.
#pragma once

#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <catch2/catch.hpp>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

namespace pairmark::outside {

/// Runs a shell command; its standard output. A status other than 0 fails the test.
inline std::string run(const std::string& command) {
    FILE* pipe = ::popen((command + " 2>/dev/null").c_str(), "r");
    REQUIRE(pipe != nullptr);
    std::string output;
    std::array<char, 4096> part{};
    while (const std::size_t count = std::fread(part.data(), 1, part.size(), pipe))
        output.append(part.data(), count);
    const int status = ::pclose(pipe);
    const int code = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
    if (code == 127)
        FAIL(command << ": not installed (packages poppler-utils, qpdf, zbar-tools, tesseract-ocr)");
    INFO(command);
    REQUIRE(code == 0);
    return output;
}

/// A grey picture; 0 is black.
struct Raster {
    int width = 0;
    int height = 0;
    std::string grey;
    int at(int x, int y) const {
        return static_cast<unsigned char>(grey[static_cast<std::size_t>(y * width + x)]);
    }
};

/// A grey picture as a PGM file (netpbm's binary form, P5).
inline Raster read_pgm(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    std::string magic;
    Raster raster;
    int most = 0;
    file >> magic >> raster.width >> raster.height >> most;
    REQUIRE(magic == "P5");
    REQUIRE(most == 255);
    file.get();
    raster.grey.resize(static_cast<std::size_t>(raster.width) * static_cast<std::size_t>(raster.height));
    file.read(raster.grey.data(), static_cast<std::streamsize>(raster.grey.size()));
    REQUIRE(file);
    return raster;
}

inline void write_pgm(const Raster& raster, const std::string& path) {
    std::ofstream file(path, std::ios::binary);
    file << "P5\n" << raster.width << ' ' << raster.height << "\n255\n" << raster.grey;
}

/// A folder of its own, gone with this object.
class WorkFolder {
  public:
    WorkFolder() {
        std::string name = (std::filesystem::temp_directory_path() / "label-XXXXXX").string();
        if (::mkdtemp(name.data()) == nullptr) throw std::runtime_error("mkdtemp");
        path_ = name;
    }
    ~WorkFolder() {
        std::error_code ignored;
        std::filesystem::remove_all(path_, ignored);
    }
    WorkFolder(const WorkFolder&) = delete;
    WorkFolder& operator=(const WorkFolder&) = delete;
    std::string operator/(const std::string& name) const { return path_ + '/' + name; }

  private:
    std::string path_;
};

inline std::vector<std::string> lines_of(const std::string& text) {
    std::istringstream in(text);
    std::vector<std::string> all;
    for (std::string line; std::getline(in, line);)
        all.push_back(line);
    return all;
}

/// The dots an inch of a print head with 8 dots a millimetre.
inline constexpr const char* eight_dots_a_mm = "203.2";

/// A document in a folder of its own.
class DocumentFile {
  public:
    explicit DocumentFile(const std::string& bytes) { std::ofstream(path(), std::ios::binary) << bytes; }

    std::string path() const { return folder_ / "label.pdf"; }

    std::vector<std::string> lines() const { return lines_of(run("pdftotext -enc UTF-8 " + path() + " -")); }
    std::string scan() const {
        (void)raster();
        std::string text = run("zbarimg --nodbus -q --raw " + (folder_ / "label.pgm"));
        if (!text.empty() && text.back() == '\n') text.pop_back();
        return text;
    }
    Raster raster(const char* dots_per_inch = eight_dots_a_mm, int page = 1) const {
        const std::string number = std::to_string(page);
        run(std::string("pdftoppm -gray -singlefile -r ") + dots_per_inch + " -f " + number + " -l " +
            number + ' ' + path() + ' ' + (folder_ / "label"));
        return read_pgm(folder_ / "label.pgm");
    }

  private:
    WorkFolder folder_;
};

}  // namespace pairmark::outside
