// One PDF page with the label's font: the only place that knows libharu.
#pragma once

#include <hpdf.h>

#include <span>
#include <stdexcept>
#include <string>

namespace pairmark::label {

/// A run of dark modules, in modules from the symbol's top left corner.
struct ModuleRun {
    int x;
    int y;
    int length;
};

/// Positions are millimetres from the top left corner. Throws std::runtime_error if the library or the memory
/// file for the font fails; text that does not fit is the caller's to find with `width_mm`.
class Page {
  public:
    /// The embedded font came out in a size that libharu cannot write; see `unused_letters`.
    struct FontSizeFault : std::runtime_error {
        using std::runtime_error::runtime_error;
    };
    /// `unused_letters`: this many letters more go into the embedded font, without standing on the page.
    /// libharu 2.3.0 fails when one table of the cut-down font ends exactly at its buffer's end (4096 bytes):
    /// about one label in 400, always the same ones. With other letters in it the font has another size.
    Page(double width_mm, double height_mm, int unused_letters = 0);
    ~Page();
    Page(const Page&) = delete;
    Page& operator=(const Page&) = delete;

    double width_mm(const std::string& text, double size_pt);
    void write(const std::string& text, double size_pt, double x_mm, double baseline_mm);
    /// White letters on a black box around them.
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

    FirstError error_;
    double height_mm_;
    HPDF_Doc document_ = nullptr;
    HPDF_Page page_ = nullptr;
    HPDF_Font font_ = nullptr;
};

}  // namespace pairmark::label
