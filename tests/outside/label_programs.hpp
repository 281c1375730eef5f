// Outside programs on a label's PDF: poppler-utils, qpdf, zbar-tools. A missing program fails the test and is
// named.
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
    if (code == 127) FAIL(command << ": not installed (packages poppler-utils, qpdf, zbar-tools)");
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

/// A document in a folder of its own, gone with this object.
class DocumentFile {
  public:
    explicit DocumentFile(const std::string& bytes) {
        std::string name = (std::filesystem::temp_directory_path() / "label-XXXXXX").string();
        if (::mkdtemp(name.data()) == nullptr) throw std::runtime_error("mkdtemp");
        folder_ = name;
        std::ofstream(path(), std::ios::binary) << bytes;
    }
    ~DocumentFile() {
        std::error_code ignored;
        std::filesystem::remove_all(folder_, ignored);
    }
    DocumentFile(const DocumentFile&) = delete;
    DocumentFile& operator=(const DocumentFile&) = delete;

    std::string path() const { return folder_ + "/label.pdf"; }

    std::vector<std::string> lines() const {
        std::istringstream text(run("pdftotext -enc UTF-8 " + path() + " -"));
        std::vector<std::string> all;
        for (std::string line; std::getline(text, line);)
            all.push_back(line);
        return all;
    }
    std::string scan() const {
        run("pdftoppm -r 203.2 -gray -singlefile " + path() + ' ' + folder_ + "/label");
        std::string text = run("zbarimg --nodbus -q --raw " + folder_ + "/label.pgm");
        if (!text.empty() && text.back() == '\n') text.pop_back();
        return text;
    }
    Raster raster() const {
        run("pdftoppm -r 203.2 -gray -singlefile " + path() + ' ' + folder_ + "/label");
        std::ifstream file(folder_ + "/label.pgm", std::ios::binary);
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

  private:
    std::string folder_;
};

}  // namespace pairmark::outside
