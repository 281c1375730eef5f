#include "host/label/render.hpp"

#include "host/label/draw.hpp"
#include "host/label/facts.hpp"

namespace pairmark::label {

std::string render_document(const record::LabelFacts& facts, const record::LabelPaper& paper) {
    check_facts(facts);
    const Layout layout = layout_for(paper.size, paper.dots_per_inch);
    return make_document([&](Document& document) {
        const Measure measure = measure_with(document);
        document.set_title("Label " + facts.number);
        document.begin_page(paper.size.width_mm, paper.size.height_mm);
        draw(compose_label(facts, layout, measure), document);
        if (!paper.for_spectacles) return;
        document.begin_page(paper.for_spectacles->width_mm, paper.for_spectacles->height_mm);
        draw(compose_spectacles_label(facts, *paper.for_spectacles, measure), document);
    });
}

std::string render_label(const record::LabelFacts& facts) {
    return render_document(facts, record::LabelPaper{});
}

}  // namespace pairmark::label
