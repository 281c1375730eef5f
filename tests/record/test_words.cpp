#include <catch2/catch.hpp>

#include "host/record/label.hpp"
#include "host/record/sha256.hpp"
#include "host/record/verdict.hpp"
#include "host/record/words.hpp"

using namespace pairmark::record;

namespace {

/// Every value from `first` to `last` has a word of its own that leads back to it.
template <typename Value, typename From>
void expect_words_both_ways(Value last, From from) {
    for (int i = 0; i <= static_cast<int>(last); ++i) {
        const auto value = static_cast<Value>(i);
        INFO(i << " " << word(value));
        CHECK(word(value) != "?");
        CHECK(from(word(value)) == value);
    }
    CHECK_FALSE(from("nonsense"));
    CHECK_FALSE(from(""));
}

}  // namespace

TEST_CASE("Words lead to their values and back") {
    expect_words_both_ways(Eye::left, eye_from);
    expect_words_both_ways(Source::typed, source_from);
    expect_words_both_ways(Key::set_aside, key_from);
    expect_words_both_ways(PairState::gone, pair_state_from);
    expect_words_both_ways(PrintOutcome::void_, print_outcome);
}

TEST_CASE("Words that others rely on stand as the headers say") {
    CHECK(word(PrintOutcome::in_doubt) == "in-doubt");
    CHECK(word(PrintOutcome::void_) == "void");
    CHECK(word(Decision::keep) == "keep");
    CHECK(word(Decision::discard) == "discard");
    CHECK(word(Decision::ask) == "ask");
    CHECK(word(PairState::turned_down) == "turned-down");
    CHECK(word(LinkHealth::absent) == "absent");
    CHECK(word(LinkHealth::clash) == "clash");
    CHECK(letter(Eye::right) == 'R');
}

TEST_CASE("A date is a day that exists") {
    for (const char* good : {"2026-11-24", "2024-02-29", "2000-02-29", "0001-01-01", "2026-12-31"}) {
        CHECK(is_date(good));
    }
    for (const char* bad : {"2026-02-29", "1900-02-29", "2026-00-01", "2026-13-01", "2026-04-31", "2026-1-1",
                            "26-01-01", "2026/01/01", "2026-01-0x", "", "2026-01-011", "0000-01-01"}) {
        INFO(bad);
        CHECK_FALSE(is_date(bad));
    }
}

TEST_CASE("A moment is written in one way only") {
    CHECK(is_moment("2026-11-24T22:50:00.123Z"));
    for (const char* bad : {"2026-11-24T24:00:00.000Z", "2026-11-24T22:60:00.000Z",
                            "2026-11-24T22:50:61.000Z", "2026-11-24T22:50:00Z", "2026-11-24T22:50:00.123+",
                            "2026-11-24t22:50:00.123Z", "2026-11-31T22:50:00.123Z", ""}) {
        INFO(bad);
        CHECK_FALSE(is_moment(bad));
    }
}

TEST_CASE("UTF-8 is told from what only looks like it (table 3-7 of the Unicode Standard, from memory)") {
    int characters = 0;
    CHECK(is_utf8("", &characters));
    CHECK(characters == 0);
    CHECK(is_utf8("\u2212\u00e9\U0001F453x", &characters));
    CHECK(characters == 4);
    CHECK(is_utf8("a\tb", &characters));
    CHECK(characters == -1);
    CHECK(is_utf8("\xc2\x85", &characters));  // a control character above ASCII
    CHECK(characters == -1);
    for (const char* bad :
         {"\x80", "\xc0\xaf", "\xc1\xbf", "\xe0\x80\x80", "\xed\xa0\x80", "\xf0\x80\x80\x80",
          "\xf4\x90\x80\x80", "\xf5\x80\x80\x80", "\xe2\x88", "a\xff", "\xc3("}) {
        CHECK_FALSE(is_utf8(bad));
    }
}

TEST_CASE(
    "SHA-256 gives the values of FIPS 180-4's published examples (one block, two blocks, and empty text and "
    "a "
    "million from memory)") {
    CHECK(sha256("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    CHECK(sha256("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq") ==
          "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
    CHECK(sha256("") == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
    CHECK(sha256(std::string(1'000'000, 'a')) ==
          "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

TEST_CASE("SHA-256 of pieces is that of the whole, wherever it is cut") {
    const std::string text(200, 'q');
    for (std::size_t cut = 0; cut <= text.size(); ++cut) {
        Sha256 hash;
        hash.add(text.substr(0, cut));
        hash.add(text.substr(cut));
        REQUIRE(hash.finish() == sha256(text));
    }
}
