#include "host/printing/folder.hpp"

#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <csignal>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>

#include "host/label/number.hpp"

namespace {

namespace fs = std::filesystem;
using pairmark::printing::Folder;
using pairmark::printing::Job;
using pairmark::printing::Result;
using pairmark::record::PrintOutcome;

class Scratch {
  public:
    Scratch() {
        std::string name = (fs::temp_directory_path() / "labels-XXXXXX").string();
        if (::mkdtemp(name.data()) == nullptr) throw std::runtime_error("mkdtemp");
        path_ = name;
    }
    ~Scratch() {
        std::error_code ignored;
        fs::permissions(path_, fs::perms::owner_all, ignored);
        fs::remove_all(path_, ignored);
    }
    Scratch(const Scratch&) = delete;
    Scratch& operator=(const Scratch&) = delete;
    const fs::path& path() const { return path_; }
    fs::path operator/(const std::string& name) const { return path_ / name; }

  private:
    fs::path path_;
};

const std::string number = pairmark::label::print_number({"K7", "A", 42});
const std::string file = number + ".pdf";
const std::string document(20'000, 'p');

std::string read(const fs::path& path) {
    std::ifstream in(path, std::ios::binary);
    std::ostringstream all;
    all << in.rdbuf();
    return all.str();
}
void write(const fs::path& path, const std::string& text) {
    std::ofstream(path, std::ios::binary) << text;
}
std::size_t count_files(const fs::path& path) {
    return static_cast<std::size_t>(std::distance(fs::directory_iterator(path), fs::directory_iterator()));
}
Result print(const fs::path& folder, const std::string& text = document) {
    return Folder(folder.string()).write({number, 0, text});
}

// Files of this process may not grow beyond `bytes` while this lives: how a full disk looks to write().
class SizeLimit {
  public:
    explicit SizeLimit(rlim_t bytes) : handler_(std::signal(SIGXFSZ, SIG_IGN)) {
        ::getrlimit(RLIMIT_FSIZE, &before_);
        rlimit limit = before_;
        limit.rlim_cur = bytes;
        ::setrlimit(RLIMIT_FSIZE, &limit);
    }
    ~SizeLimit() {
        ::setrlimit(RLIMIT_FSIZE, &before_);
        (void)std::signal(SIGXFSZ, handler_);
    }
    SizeLimit(const SizeLimit&) = delete;
    SizeLimit& operator=(const SizeLimit&) = delete;

  private:
    rlimit before_{};
    void (*handler_)(int);
};

// Root may write anywhere: for the test of rights, be nobody for a while.
class Unprivileged {
  public:
    Unprivileged() : was_(::geteuid()) {
        if (was_ == 0 && ::seteuid(65534) != 0) throw std::runtime_error("seteuid");
    }
    ~Unprivileged() {
        if (::seteuid(was_) != 0) std::abort();
    }
    Unprivileged(const Unprivileged&) = delete;
    Unprivileged& operator=(const Unprivileged&) = delete;

  private:
    uid_t was_;
};

}  // namespace

TEST_CASE("a printed label is a file of its number, whole, for its owner only, and nothing else stays") {
    const Scratch folder;
    const Result result = print(folder.path());
    CHECK(result.outcome == PrintOutcome::printed);
    CHECK(result.say.empty());
    CHECK(read(folder / file) == document);
    struct stat status {};
    REQUIRE(::stat((folder / file).c_str(), &status) == 0);
    CHECK((status.st_mode & 07777) == 0600);
    CHECK(count_files(folder.path()) == 1);
}

TEST_CASE("the same label a second time is printed already and is not written again") {
    const Scratch folder;
    REQUIRE(print(folder.path()).outcome == PrintOutcome::printed);
    struct stat before {};
    REQUIRE(::stat((folder / file).c_str(), &before) == 0);
    CHECK(print(folder.path()).outcome == PrintOutcome::printed);
    struct stat after {};
    REQUIRE(::stat((folder / file).c_str(), &after) == 0);
    CHECK(before.st_ino == after.st_ino);
}

TEST_CASE("another document under the label's name is held and not touched") {
    const std::string others[] = {"", "p", document + "p", document.substr(1) + "q"};
    for (const std::string& other : others) {
        CAPTURE(other.size());
        const Scratch folder;
        write(folder / file, other);
        const Result result = print(folder.path());
        CHECK(result.outcome == PrintOutcome::held);
        CHECK(result.say.find("move it away") != std::string::npos);
        CHECK(read(folder / file) == other);
        CHECK(count_files(folder.path()) == 1);
    }
}

TEST_CASE("a link under the label's name is held and its target is not touched") {
    const Scratch folder;
    const Scratch elsewhere;
    write(elsewhere / "target", document);
    fs::create_symlink(elsewhere / "target", folder / file);
    CHECK(print(folder.path()).outcome == PrintOutcome::held);
    fs::remove(folder / file);
    fs::create_symlink(elsewhere / "missing", folder / file);
    CHECK(print(folder.path()).outcome == PrintOutcome::held);
    CHECK(count_files(elsewhere.path()) == 1);
    CHECK(read(elsewhere / "target") == document);
}

TEST_CASE("a folder or a pipe under the label's name is held, without waiting for a writer") {
    const Scratch folder;
    fs::create_directory(folder / file);
    CHECK(print(folder.path()).outcome == PrintOutcome::held);
    fs::remove(folder / file);
    REQUIRE(::mkfifo((folder / file).c_str(), 0600) == 0);
    CHECK(print(folder.path()).outcome == PrintOutcome::held);
}

TEST_CASE("what a power cut left half written is replaced, also if it is a link") {
    const Scratch folder;
    const Scratch elsewhere;
    write(folder / ('.' + file + ".part"), document.substr(0, 100));
    CHECK(print(folder.path()).outcome == PrintOutcome::printed);
    fs::remove(folder / file);
    fs::create_symlink(elsewhere / "made", folder / ('.' + file + ".part"));
    CHECK(print(folder.path()).outcome == PrintOutcome::printed);
    CHECK(read(folder / file) == document);
    CHECK(count_files(folder.path()) == 1);
    CHECK(count_files(elsewhere.path()) == 0);
}

TEST_CASE("half-written labels of other numbers are removed at the start, and nothing else is") {
    const Scratch folder;
    const Scratch elsewhere;
    const std::string other = pairmark::label::print_number({"K7", "A", 2});
    write(folder / ('.' + other + ".pdf.part"), "%PDF");
    write(folder / ('.' + other + "-copy1.pdf.part"), "%PDF");
    write(elsewhere / "kept", "");
    fs::create_symlink(elsewhere / "kept", folder / ('.' + number + ".pdf.part"));
    for (const char* name : {".notes.pdf.part", ".part", ".pdf.part", "K7.part"})
        write(folder / name, "");
    write(folder / (other + ".pdf.part"), "");
    const Folder printer(folder.path().string());
    CHECK(count_files(folder.path()) == 5);
    CHECK(fs::exists(elsewhere / "kept"));
}

TEST_CASE(
    "what a failing disk left half written is gone with the next label, though its number is never written "
    "again") {
    const Scratch folder;
    Folder printer(folder.path().string());
    const std::string lost = '.' + pairmark::label::print_number({"K7", "A", 3}) + ".pdf.part";
    write(folder / lost, "%PDF");
    fs::permissions(folder.path(), fs::perms::owner_read | fs::perms::owner_exec);
    if (::geteuid() != 0) {
        REQUIRE(printer.write({number, 0, document}).outcome == PrintOutcome::failed);
        CHECK(fs::exists(folder / lost));
    } else {
        // Root may write anywhere: a folder that is away for a while fails as well.
        fs::rename(folder.path(), folder.path().string() + "-away");
        REQUIRE(printer.write({number, 0, document}).outcome == PrintOutcome::failed);
        fs::rename(folder.path().string() + "-away", folder.path());
    }
    fs::permissions(folder.path(), fs::perms::owner_all);
    CHECK(printer.write({number, 0, document}).outcome == PrintOutcome::printed);
    CHECK_FALSE(fs::exists(folder / lost));
}

TEST_CASE("a folder that is missing, or is a file, fails with a next step") {
    const Scratch folder;
    write(folder / "plain", "");
    for (const char* name : {"missing", "plain"}) {
        const Result result = print(folder / name);
        CHECK(result.outcome == PrintOutcome::failed);
        CHECK(result.say.find((folder / name).string()) != std::string::npos);
        CHECK(result.say.find("make the folder") != std::string::npos);
    }
}

TEST_CASE("a folder without the right to write fails with a next step and holds nothing") {
    const Scratch folder;
    fs::permissions(folder.path(), fs::perms::owner_read | fs::perms::owner_exec | fs::perms::group_read |
                                       fs::perms::group_exec | fs::perms::others_read |
                                       fs::perms::others_exec);
    const Result result = [&folder] {
        const Unprivileged nobody;
        return print(folder.path());
    }();
    CHECK(result.outcome == PrintOutcome::failed);
    CHECK(result.say.find("user write there") != std::string::npos);
    CHECK(count_files(folder.path()) == 0);
}

TEST_CASE("a disk that is full at any byte fails, leaves nothing, and prints when there is room") {
    for (const rlim_t room : {rlim_t{0}, rlim_t{1}, rlim_t{4096}, rlim_t{19'999}}) {
        CAPTURE(room);
        const Scratch folder;
        const Result result = [&folder, room] {
            const SizeLimit full(room);
            return print(folder.path());
        }();
        CHECK(result.outcome == PrintOutcome::failed);
        CHECK(result.say.find("make room") != std::string::npos);
        CHECK(count_files(folder.path()) == 0);
        CHECK(print(folder.path()).outcome == PrintOutcome::printed);
        CHECK(read(folder / file) == document);
    }
}

TEST_CASE("a copy is a file of its own") {
    const Scratch folder;
    REQUIRE(print(folder.path()).outcome == PrintOutcome::printed);
    const Result result = Folder(folder.path().string()).write({number, 2, "copy"});
    CHECK(result.outcome == PrintOutcome::printed);
    CHECK(read(folder / (number + "-copy2.pdf")) == "copy");
    CHECK(read(folder / file) == document);
}

TEST_CASE("what is not a label number never becomes a file name") {
    const Scratch folder;
    const std::string wrong = number.substr(0, number.size() - 1) + (number.back() == 'A' ? 'B' : 'A');
    for (const std::string& name :
         {std::string("../up"), std::string(), std::string("a/b"), wrong, "../" + number}) {
        CAPTURE(name);
        CHECK(Folder(folder.path().string()).write({name, 0, document}).outcome == PrintOutcome::failed);
    }
    CHECK(Folder(folder.path().string()).write({number, -1, document}).outcome == PrintOutcome::failed);
    CHECK(count_files(folder.path()) == 0);
}
