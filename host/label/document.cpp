#include "host/label/document.hpp"

#include <fcntl.h>
#include <sys/mman.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cmath>
#include <cstdio>
#include <stdexcept>
#include <string_view>
#include <system_error>

#include "host/label/font.hpp"

namespace pairmark::label {
namespace {

constexpr double points_per_mm = 72 / 25.4;
HPDF_REAL points(double mm) {
    return static_cast<HPDF_REAL>(mm * points_per_mm);
}

// Cut to a thousandth of a point: a page rounded up by a hair would come out of a rasteriser one dot too
// long.
HPDF_REAL page_size(double mm) {
    return static_cast<HPDF_REAL>(std::floor(mm * points_per_mm * 1000) / 1000);
}

// libharu reads fonts from a path only. A file without a name, that lives in memory, gives it one, and leaves
// nothing behind on any disk.
class FontInMemory {
  public:
    FontInMemory() : file_(memfd_create("label-font", MFD_CLOEXEC)) {
        if (file_ < 0) throw std::system_error(errno, std::generic_category(), "label font: memfd_create");
        std::span<const unsigned char> rest = font_bytes();
        while (!rest.empty()) {
            const ssize_t count = ::write(file_, rest.data(), rest.size());
            if (count < 0) {
                const int error = errno;
                ::close(file_);
                throw std::system_error(error, std::generic_category(), "label font: write");
            }
            rest = rest.subspan(static_cast<std::size_t>(count));
        }
    }
    ~FontInMemory() { ::close(file_); }
    FontInMemory(const FontInMemory&) = delete;
    FontInMemory& operator=(const FontInMemory&) = delete;
    std::string path() const { return "/proc/self/fd/" + std::to_string(file_); }

  private:
    int file_;
};

}  // namespace

void Document::remember(HPDF_STATUS code, HPDF_STATUS detail, void* first_error) {
    auto* error = static_cast<FirstError*>(first_error);
    if (error->code == 0) *error = {code, detail};
}

void Document::check(const char* step) const {
    if (error_.code == 0) return;
    std::array<char, 96> text{};
    (void)std::snprintf(text.data(), text.size(), "label: %s failed, libharu error 0x%04lX, detail %lu", step,
                        static_cast<unsigned long>(error_.code), static_cast<unsigned long>(error_.detail));
    throw std::runtime_error(text.data());
}

Document::Document(int unused_letters) {
    document_ = HPDF_New(&Document::remember, &error_);
    if (document_ == nullptr) throw std::runtime_error("label: no memory for a PDF document");
    try {
        const FontInMemory font_file;
        HPDF_SetCompressionMode(document_, HPDF_COMP_ALL);
        HPDF_UseUTFEncodings(document_);
        const char* name = HPDF_LoadTTFontFromFile(document_, font_file.path().c_str(), HPDF_TRUE);
        check("loading the font");
        font_ = HPDF_GetFont(document_, name, "UTF-8");
        check("choosing the font");
        // Measuring a letter puts it into the font.
        constexpr std::string_view rare = "#%&;?@$~";
        (void)width_mm(std::string(rare.substr(0, static_cast<std::size_t>(unused_letters))), 1);
    } catch (...) {
        HPDF_Free(document_);
        throw;
    }
}

void Document::begin_page(double width_mm, double height_mm) {
    page_ = HPDF_AddPage(document_);
    HPDF_Page_SetWidth(page_, page_size(width_mm));
    HPDF_Page_SetHeight(page_, page_size(height_mm));
    check("starting a page");
    page_height_mm_ = height_mm;
    set_origin(0, 0);
}

void Document::set_origin(double x_mm, double y_mm) {
    origin_x_mm_ = x_mm;
    origin_y_mm_ = y_mm;
}

HPDF_REAL Document::across(double x_mm) const {
    return points(origin_x_mm_ + x_mm);
}

HPDF_REAL Document::up(double y_mm) const {
    return points(page_height_mm_ - origin_y_mm_ - y_mm);
}

Document::~Document() {
    HPDF_Free(document_);
}

double Document::width_mm(const std::string& text, double size_pt) {
    const HPDF_TextWidth width = HPDF_Font_TextWidth(font_, reinterpret_cast<const HPDF_BYTE*>(text.data()),
                                                     static_cast<HPDF_UINT>(text.size()));
    check("measuring text");
    return width.width * size_pt / 1000 / points_per_mm;
}

void Document::write(const std::string& text, double size_pt, double x_mm, double baseline_mm, double grey) {
    if (grey != 0) HPDF_Page_SetGrayFill(page_, static_cast<HPDF_REAL>(grey));
    HPDF_Page_BeginText(page_);
    HPDF_Page_SetFontAndSize(page_, font_, static_cast<HPDF_REAL>(size_pt));
    HPDF_Page_TextOut(page_, across(x_mm), up(baseline_mm), text.c_str());
    HPDF_Page_EndText(page_);
    if (grey != 0) HPDF_Page_SetGrayFill(page_, 0);
    check("writing text");
}

void Document::paint(const Painted& painted) {
    const Ink& ink = painted.ink;
    if (painted.path.steps.empty() || (!ink.fill && ink.line_mm <= 0)) return;
    HPDF_Page_GSave(page_);
    if (ink.fill) HPDF_Page_SetGrayFill(page_, static_cast<HPDF_REAL>(*ink.fill));
    if (ink.line_mm > 0) {
        HPDF_Page_SetLineWidth(page_, points(ink.line_mm));
        HPDF_Page_SetGrayStroke(page_, static_cast<HPDF_REAL>(ink.line_grey));
        HPDF_Page_SetLineCap(page_, HPDF_ROUND_END);
        HPDF_Page_SetLineJoin(page_, HPDF_ROUND_JOIN);
    }
    for (const Path::Step& step : painted.path.steps) {
        switch (step.kind) {
            case Path::Kind::move:
                HPDF_Page_MoveTo(page_, across(step.to.x), up(step.to.y));
                break;
            case Path::Kind::line:
                HPDF_Page_LineTo(page_, across(step.to.x), up(step.to.y));
                break;
            case Path::Kind::curve:
                HPDF_Page_CurveTo(page_, across(step.first.x), up(step.first.y), across(step.second.x),
                                  up(step.second.y), across(step.to.x), up(step.to.y));
                break;
            case Path::Kind::close:
                HPDF_Page_ClosePath(page_);
                break;
        }
    }
    if (ink.fill && ink.line_mm > 0)
        HPDF_Page_FillStroke(page_);
    else if (ink.fill)
        HPDF_Page_Fill(page_);
    else
        HPDF_Page_Stroke(page_);
    HPDF_Page_GRestore(page_);
    check("drawing a line");
}

void Document::write_reversed(const std::string& text, double size_pt, double x_mm, double baseline_mm) {
    const double size_mm = size_pt / points_per_mm;
    const double pad = box_pad_mm(size_pt);
    HPDF_Page_Rectangle(page_, across(x_mm), up(baseline_mm + pad), points(width_mm(text, size_pt) + 2 * pad),
                        points(0.729 * size_mm + 2 * pad));
    HPDF_Page_Fill(page_);
    HPDF_Page_SetGrayFill(page_, 1);
    write(text, size_pt, x_mm + pad, baseline_mm);
    HPDF_Page_SetGrayFill(page_, 0);
    check("drawing a box");
}

void Document::fill_modules(std::span<const ModuleRun> runs, double x_mm, double y_mm, double dot_mm,
                            int dots_per_module) {
    HPDF_Page_GSave(page_);
    HPDF_Page_Concat(page_, points(dot_mm), 0, 0, points(dot_mm), across(x_mm), up(y_mm));
    // Rasterisers darken every dot that is touched: a hair less on each side keeps rounding from touching the
    // next one.
    constexpr double hair = 0.01;
    for (const ModuleRun& run : runs)
        HPDF_Page_Rectangle(page_, static_cast<HPDF_REAL>(run.x * dots_per_module + hair),
                            static_cast<HPDF_REAL>((-run.y - 1) * dots_per_module + hair),
                            static_cast<HPDF_REAL>(run.length * dots_per_module - 2 * hair),
                            static_cast<HPDF_REAL>(dots_per_module - 2 * hair));
    HPDF_Page_Fill(page_);
    HPDF_Page_GRestore(page_);
    check("drawing the QR code");
}

void Document::set_title(const std::string& title) {
    HPDF_SetInfoAttr(document_, HPDF_INFO_TITLE, title.c_str());
    check("setting the title");
}

std::string Document::bytes() {
    HPDF_SaveToStream(document_);
    if (error_.code == HPDF_INVALID_OBJECT) throw FontSizeFault("label: the font cannot be written");
    check("finishing the document");
    std::string all;
    std::array<HPDF_BYTE, 4096> part{};
    for (;;) {
        HPDF_UINT32 count = part.size();
        const HPDF_STATUS status = HPDF_ReadFromStream(document_, part.data(), &count);
        all.append(part.begin(), part.begin() + count);
        if (status == HPDF_STREAM_EOF || (status == HPDF_OK && count < part.size())) return all;
        if (status != HPDF_OK) throw std::runtime_error("label: reading the finished document failed");
    }
}

}  // namespace pairmark::label
