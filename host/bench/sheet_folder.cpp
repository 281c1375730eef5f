#include "host/bench/sheet_folder.hpp"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <system_error>

#include "host/printing/whole_file.hpp"
#include "host/record/json.hpp"

namespace pairmark::bench {
namespace {

constexpr std::size_t longest_list = 64 * 1024;

std::string because(int error) {
    return std::generic_category().message(error);
}

/// Closes itself.
struct OpenFile {
    explicit OpenFile(int opened) : fd(opened) {}
    ~OpenFile() {
        if (fd >= 0) ::close(fd);
    }
    OpenFile(const OpenFile&) = delete;
    OpenFile& operator=(const OpenFile&) = delete;
    int fd;
};

/// "sheet-0001.json": the name of a list; other files in the folder are none of ours.
bool is_list_name(const std::string& name) {
    const std::string begin = "sheet-";
    const std::string end = ".json";
    if (!name.starts_with(begin) || !name.ends_with(end)) return false;
    const std::string digits = name.substr(begin.size(), name.size() - begin.size() - end.size());
    return digits.size() >= 4 && digits.size() <= 6 &&
           digits.find_first_not_of("0123456789") == std::string::npos;
}

}  // namespace

SheetFolder::SheetFolder(std::filesystem::path path) : path_(std::move(path)) {
    const std::string where = "the folder of sheets " + path_.string();
    std::error_code error;
    std::filesystem::create_directories(path_.parent_path(), error);
    if (!error && ::mkdir(path_.c_str(), 0700) != 0 && errno != EEXIST)
        error = std::error_code(errno, std::generic_category());
    if (error)
        throw SheetFault(where + " cannot be made: " + error.message() +
                         "; let the program's user write there, or name another folder for the labels");
    folder_ = ::open(path_.c_str(), O_RDONLY | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC);
    if (folder_ < 0)
        throw SheetFault(where + " cannot be used: " + because(errno) +
                         "; it must be a folder and no link, and the program's user must have it");
    if (::flock(folder_, LOCK_EX | LOCK_NB) != 0) {
        ::close(folder_);
        throw SheetFault(where +
                         " is in use by another `pairmark sheet`; wait for it to end, then try again");
    }
}

SheetFolder::~SheetFolder() {
    ::close(folder_);
}

SheetList SheetFolder::list_in(const std::string& name) const {
    const auto refuse = [&](const std::string& why) {
        throw SheetFault((path_ / name).string() + ": " + why +
                         "; without this list nobody knows which labels are on that sheet: put back a copy, "
                         "or tear the sheet up and move both its files away");
    };
    const OpenFile file(::openat(folder_, name.c_str(), O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC));
    struct stat status {};
    if (file.fd < 0 || ::fstat(file.fd, &status) != 0) refuse("cannot be read: " + because(errno));
    if (!S_ISREG(status.st_mode)) refuse("is not a plain file");
    std::string text;
    std::array<char, 4096> part{};
    for (;;) {
        const ssize_t count = ::read(file.fd, part.data(), part.size());
        if (count < 0 && errno == EINTR) continue;
        if (count < 0) refuse("cannot be read: " + because(errno));
        if (count == 0) break;
        text.append(part.data(), static_cast<std::size_t>(count));
        if (text.size() > longest_list) refuse("is too long for a list");
    }
    SheetList list;
    try {
        list = sheet_list_from(text);
    } catch (const record::BadRecord& bad) {
        refuse(bad.what());
    }
    if (sheet_name(list.sheet) + ".json" != name)
        refuse("says that it is sheet " + std::to_string(list.sheet));
    return list;
}

std::vector<SheetList> SheetFolder::lists() const {
    std::vector<SheetList> found;
    std::error_code error;
    for (std::filesystem::directory_iterator entry(path_, error), end; !error && entry != end;
         entry.increment(error)) {
        const std::string name = entry->path().filename().string();
        if (is_list_name(name)) found.push_back(list_in(name));
    }
    if (error)
        throw SheetFault(path_.string() + " cannot be read: " + error.message() + "; look after that disk");
    std::sort(found.begin(), found.end(),
              [](const SheetList& a, const SheetList& b) { return a.sheet < b.sheet; });
    return found;
}

bool SheetFolder::has_document(int sheet) const {
    struct stat status {};
    return ::fstatat(folder_, (sheet_name(sheet) + ".pdf").c_str(), &status, AT_SYMLINK_NOFOLLOW) == 0;
}

printing::Result SheetFolder::keep_list(const SheetList& list) const {
    return printing::write_whole_file(path_.string(), sheet_name(list.sheet) + ".json", text_of(list),
                                      {"list of a sheet", "make the sheet again"});
}

printing::Result SheetFolder::keep_document(int sheet, const std::string& document) const {
    return printing::write_whole_file(path_.string(), sheet_name(sheet) + ".pdf", document,
                                      {"sheet", "make the sheet again"});
}

}  // namespace pairmark::bench
