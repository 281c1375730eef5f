// A PDF document in the label's font: the only place that knows libharu.
#pragma once

#include <hpdf.h>

#include <span>
#include <stdexcept>
#include <string>

#include "host/label/path.hpp"

namespace pairmark::label {

/// A run of dark modules, in modules from the symbol's top left corner.
struct ModuleRun {
    int x;
    int y;
    int length;
};

/// Positions are millimetres from the origin, which is the page's top left corner until `set_origin`. Throws
/// std::runtime_error if the library or the memory file for the font fails; text that does not fit is the
/// caller's to find with `width_mm`.
class Document {
  public:
    /// The embedded font came out in a size that libharu cannot write; see `unused_letters`.
    struct FontSizeFault : std::runtime_error {
        using std::runtime_error::runtime_error;
    };
    /// `unused_letters`: this many letters more go into the embedded font, without standing on the page.
    /// libharu 2.3.0 fails when one table of the cut-down font ends exactly at its buffer's end (4096 bytes):
    /// about one label in 400, always the same ones. With other letters in it the font has another size.
    explicit Document(int unused_letters = 0);
    ~Document();
    Document(const Document&) = delete;
    Document& operator=(const Document&) = delete;

    /// What follows stands on a new page of this size.
    void begin_page(double width_mm, double height_mm);
    /// Where (0, 0) is from now on, from the page's top left corner.
    void set_origin(double x_mm, double y_mm);

    double width_mm(const std::string& text, double size_pt);
    /// Little enough to be clear of what hangs below the line above.
    static double box_pad_mm(double size_pt) { return 0.08 * size_pt * 25.4 / 72; }
    /// `grey`: 0 is black, 1 white.
    void write(const std::string& text, double size_pt, double x_mm, double baseline_mm, double grey = 0);
    void paint(const Painted& painted);
    /// White letters on a black box, which is larger than they by `box_pad_mm` on every side; its left edge
    /// is at x_mm.
    void write_reversed(const std::string& text, double size_pt, double x_mm, double baseline_mm);
    /// All runs as one path and one fill. Whole dots give whole dots on paper, whatever the PDF reader's
    /// rounding.
    void fill_modules(std::span<const ModuleRun> runs, double x_mm, double y_mm, double dot_mm,
                      int dots_per_module);
    /// The document's title, ASCII.
    void set_title(const std::string& title);
    std::string bytes();

  private:
    // libharu calls back from C, so nothing may be thrown there: the first error is kept, and thrown by
    // check().
    struct FirstError {
        HPDF_STATUS code = 0;
        HPDF_STATUS detail = 0;
    };
    static void remember(HPDF_STATUS code, HPDF_STATUS detail, void* first_error);
    void check(const char* step) const;
    HPDF_REAL across(double x_mm) const;  // PDF's own coordinates: points, upwards
    HPDF_REAL up(double y_mm) const;

    FirstError error_;
    double page_height_mm_ = 0;
    double origin_x_mm_ = 0;
    double origin_y_mm_ = 0;
    HPDF_Doc document_ = nullptr;
    HPDF_Page page_ = nullptr;
    HPDF_Font font_ = nullptr;
};

}  // namespace pairmark::label
