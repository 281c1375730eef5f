# cmake -DFONT=file.ttf -DOUT=file.cpp -P embed.cmake: the font's bytes as a C++ array.
file(READ ${FONT} hex HEX)
string(REGEX REPLACE "([0-9a-f][0-9a-f])" "0x\\1," bytes "${hex}")
string(REGEX REPLACE "(................................................................................)" "\\1\n" bytes "${bytes}")
file(WRITE ${OUT} "// Made by the build from label-font.ttf.
#include \"host/label/font.hpp\"

namespace pairmark::label {
namespace {
constexpr unsigned char bytes[] = {
${bytes}
};
}  // namespace

std::span<const unsigned char> font_bytes() { return bytes; }

}  // namespace pairmark::label
")
