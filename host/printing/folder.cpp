#include "host/printing/folder.hpp"

#include <filesystem>
#include <string_view>
#include <system_error>
#include <utility>
#include <vector>

#include "host/label/number.hpp"
#include "host/printing/whole_file.hpp"

namespace pairmark::printing {
namespace {

namespace fs = std::filesystem;

constexpr std::string_view ending = ".pdf";

/// Whether a file of that name is a label that was never finished, the program's own.
bool is_part(std::string_view name) {
    const std::string tail = std::string(ending) + std::string(part_ending);
    if (!name.starts_with('.')) return false;
    name.remove_prefix(1);
    if (!name.ends_with(tail)) return false;
    name.remove_suffix(tail.size());
    return label::verify_number(name.substr(0, name.find("-copy"))).has_value();
}

/// True once none is left, as far as can be told.
bool remove_parts(const fs::path& folder) {
    std::error_code error;
    std::vector<fs::path> parts;
    for (fs::directory_iterator at(folder, error), end; !error && at != end; at.increment(error))
        if (is_part(at->path().filename().string())) parts.push_back(at->path());
    bool all = !error;
    for (const fs::path& part : parts) {
        fs::remove(part, error);  // a link itself, never what it points to
        all = all && !error;
    }
    return all;
}

}  // namespace

Folder::Folder(std::string path) : path_(std::move(path)), may_hold_parts_(!remove_parts(path_)) {}

void Folder::print(Job job, Begins, Done done) {
    done(write(job));
}

Result Folder::write(const Job& job) {
    // The number becomes a file's name: only what is a number in every character gets that far.
    if (!label::verify_number(job.number) || job.copy < 0)
        return {record::PrintOutcome::failed,
                "label not printed: its number is not a label number; report this as a fault of "
                "the program"};
    if (may_hold_parts_) may_hold_parts_ = !remove_parts(path_);
    const std::string copy = job.copy > 0 ? "-copy" + std::to_string(job.copy) : "";
    const std::string file = job.number + copy + std::string(ending);
    Result result = write_whole_file(path_, file, job.document, {"label", "release the label"});
    if (result.outcome == record::PrintOutcome::failed) may_hold_parts_ = true;
    return result;
}

}  // namespace pairmark::printing
