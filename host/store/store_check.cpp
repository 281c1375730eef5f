// Whether the database's pages are what they should be.
#include <algorithm>
#include <array>
#include <cctype>

#include "host/store/connection.hpp"
#include "host/store/store.hpp"

namespace pairmark::store {
namespace {

struct Table {
    const char* name;
    const char* holds;  // for people
    const char* check;
};
// One table at a time: SQLite's own words name a page, but not what lies there.
constexpr std::array<Table, 7> every_table{{
    {"event", "what happened", "PRAGMA integrity_check('event')"},
    {"text", "rules and settings", "PRAGMA integrity_check('text')"},
    {"pair", "the pairs", "PRAGMA integrity_check('pair')"},
    {"label", "the numbers given", "PRAGMA integrity_check('label')"},
    {"intent", "the labels' documents", "PRAGMA integrity_check('intent')"},
    {"quarantine", "clashing events", "PRAGMA integrity_check('quarantine')"},
    {"meta", "the store's name and series", "PRAGMA integrity_check('meta')"},
}};
constexpr const char* every_page = "PRAGMA integrity_check";

/// SQLite's sentence without its heading and line ends.
std::string in_one_line(std::string said) {
    if (said.rfind("***", 0) == 0) {
        const std::size_t end = said.find('\n');
        said.erase(0, end == std::string::npos ? said.size() : end + 1);
    }
    std::replace(said.begin(), said.end(), '\n', ';');
    return said;
}

/// The first "page N" in it, as a word; empty: none is named.
std::string page_in(const std::string& said) {
    const std::size_t at = said.find("age ");
    if (at == std::string::npos) return {};
    std::size_t end = at + 4;
    while (end < said.size() && std::isdigit(static_cast<unsigned char>(said[end])) != 0)
        ++end;
    return said.substr(at + 4, end - at - 4);
}

/// What SQLite finds wrong. It may break off at a page that it cannot read at all.
std::vector<std::string> found_by(Connection& connection, const char* check) {
    std::vector<std::string> found;
    try {
        Statement query = connection.use(check);
        while (query.step())
            if (std::string said = in_one_line(query.text(0)); said != "ok") found.push_back(std::move(said));
    } catch (const StoreFailure& failure) {
        if (failure.kind != FailureKind::damaged) throw;
        if (found.empty()) found.push_back("it cannot be read to its end");
    }
    return found;
}

std::string sentence(const std::string& what, const std::string& said, const std::filesystem::path& file) {
    const std::string page = page_in(said);
    return Trouble{
        what + (page.empty() ? "" : ", page " + page) + " of the file, is damaged: " + said, file.string(),
        "keep the files as they are, look at the disk's health, and put back the newest copy; the adapter "
        "keeps what was not acknowledged"}
        .sentence();
}

}  // namespace

std::vector<std::string> Store::damage(const std::function<void(const std::string&)>& looking) const {
    std::vector<std::string> sentences;
    for (const Table& table : every_table) {
        if (looking) looking(table.name);
        for (const std::string& said : found_by(*connection_, table.check))
            sentences.push_back(sentence(std::string("table \"") + table.name + "\" (" + table.holds + ")",
                                         said, connection_->path()));
    }
    if (!sentences.empty()) return sentences;
    // What belongs to no table: the list of free pages, and pages that two tables share.
    if (looking) looking("free pages");
    for (const std::string& said : found_by(*connection_, every_page))
        sentences.push_back(sentence("the database", said, connection_->path()));
    return sentences;
}

}  // namespace pairmark::store
