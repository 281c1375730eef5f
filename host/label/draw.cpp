#include "host/label/draw.hpp"

namespace pairmark::label {

void draw(const Drawing& drawing, Document& document) {
    for (const PlacedText& placed : drawing.texts) {
        if (placed.reversed)
            document.write_reversed(placed.text, placed.size_pt, placed.x_mm, placed.baseline_mm);
        else
            document.write(placed.text, placed.size_pt, placed.x_mm, placed.baseline_mm);
    }
    if (!drawing.code) return;
    const PlacedCode& code = *drawing.code;
    document.fill_modules(code.code.dark, code.x_mm, code.y_mm, code.dot_mm, code.dots_per_module);
}

}  // namespace pairmark::label
