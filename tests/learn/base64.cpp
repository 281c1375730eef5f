#include "host/learn/base64.hpp"

#include <catch2/catch.hpp>
#include <string>

using namespace pairmark::learn;

namespace {

std::vector<std::uint8_t> bytes_of_text(const std::string& text) {
    return {text.begin(), text.end()};
}

}  // namespace

TEST_CASE("base64 writes and reads the examples of RFC 4648") {
    const std::pair<std::string, std::string> rows[] = {{"", ""},
                                                        {"f", "Zg=="},
                                                        {"fo", "Zm8="},
                                                        {"foo", "Zm9v"},
                                                        {"foob", "Zm9vYg=="},
                                                        {"fooba", "Zm9vYmE="},
                                                        {"foobar", "Zm9vYmFy"},
                                                        {"\xFB\xFF\x80", "+/+A"}};
    for (const auto& [plain, text] : rows) {
        CAPTURE(text);
        CHECK(base64(bytes_of_text(plain)) == text);
        CHECK(from_base64(text) == bytes_of_text(plain));
    }
}

TEST_CASE("what base64 would not have written itself is not taken") {
    for (const std::string text : {"Zg", "Zg=", "Zh==", "Zm9=", "Zm9v=", "Zm9v====", "Zm 9v", "Zm9v\n",
                                   "Zm-v", "=", "Zg==Zg==", "Z"}) {
        CAPTURE(text);
        CHECK_FALSE(from_base64(text));
    }
}
