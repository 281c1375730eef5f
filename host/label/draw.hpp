// A composed label onto a document, and what every rendering does about libharu's one fault.
#pragma once

#include "host/label/document.hpp"
#include "host/label/drawing.hpp"

namespace pairmark::label {

/// Draws from the document's origin on.
void draw(const Drawing& drawing, Document& document);

/// Runs `make(document)` until the embedded font comes out in a size that libharu can write, and gives the
/// bytes.
template <typename Make>
std::string make_document(Make make) {
    constexpr int most_unused_letters = 8;
    for (int unused_letters = 0;; ++unused_letters) {
        try {
            Document document(unused_letters);
            make(document);
            return document.bytes();
        } catch (const Document::FontSizeFault&) {
            if (unused_letters == most_unused_letters) throw;
        }
    }
}

inline Measure measure_with(Document& document) {
    return [&document](const std::string& text, double size_pt) { return document.width_mm(text, size_pt); };
}

}  // namespace pairmark::label
