#include <zlib.h>

#include <catch2/catch.hpp>
#include <random>

#include "tests/protocol/files.hpp"

using namespace pairmark::protocol;
using namespace pairmark::protocol::testing;

TEST_CASE("The check value of CRC-32/ISO-HDLC is CBF43926 (catalogue of CRC algorithms)") {
    CHECK(crc32("123456789", 9) == 0xCBF43926);
}

TEST_CASE("The golden CRCs agree with ours and with zlib's") {
    const Json vectors = read_vectors("crc.json");
    REQUIRE(vectors["crc"].size() >= 5);
    for (const Json& row : vectors["crc"]) {
        INFO(row["note"]);
        const Bytes bytes = from_hex(row["bytes"].get<std::string>());
        CHECK(hex8(crc32(bytes.data(), bytes.size())) == row["crc"]);
        CHECK(hex8(static_cast<std::uint32_t>(::crc32(0, bytes.data(), static_cast<uInt>(bytes.size())))) ==
              row["crc"]);
    }
}

TEST_CASE("2000 random texts have zlib's CRC, whole and in two pieces") {
    std::mt19937 random(20240131);
    for (int i = 0; i < 2000; ++i) {
        Bytes bytes(random() % 300);
        for (auto& byte : bytes)
            byte = static_cast<std::uint8_t>(random());
        const std::size_t cut = bytes.empty() ? 0 : random() % bytes.size();
        const auto expected =
            static_cast<std::uint32_t>(::crc32(0, bytes.data(), static_cast<uInt>(bytes.size())));
        if (bytes.empty()) continue;
        REQUIRE(crc32(bytes.data(), bytes.size()) == expected);
        REQUIRE(crc32(bytes.data() + cut, bytes.size() - cut, crc32(bytes.data(), cut)) == expected);
    }
}
