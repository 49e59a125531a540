#include "reports/pdf_page.h"
#include "reports/pdf_errors.h"

#include <fmt/core.h>
#include <hpdf.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <memory>

namespace crimpgate {

namespace {

// A renderer paints every dot that a shape touches; drawn to its very edge a module would grow by a dot.
constexpr double inset_dots = 0.05;

HPDF_REAL real(double value) {
    return static_cast<HPDF_REAL>(value);
}

class Drawing {
  public:
    Drawing(const PageLayout& layout, const FontSet& fonts, int dpi) : layout_(layout), fonts_(fonts), dpi_(dpi) {
        document_.reset(HPDF_New(keep_first, &first_));
        if (!document_) throw std::bad_alloc();
        HPDF_UseUTFEncodings(document());
        HPDF_SetCurrentEncoder(document(), "UTF-8");
        HPDF_SetCompressionMode(document(), HPDF_COMP_ALL);
        HPDF_SetInfoAttr(document(), HPDF_INFO_CREATOR, "crimpgate");
        HPDF_SetInfoAttr(document(), HPDF_INFO_TITLE, layout.title.c_str());
        if (failed()) return;
        page_ = HPDF_AddPage(document());
        if (page_ == nullptr) return;
        HPDF_Page_SetWidth(page_, real(layout.width * points_per_mm));
        HPDF_Page_SetHeight(page_, real(layout.height * points_per_mm));
    }

    Result<std::string> bytes() {
        for (const auto& f : layout_.frames)
            frame(f);
        for (const auto& l : layout_.lines)
            fill(l.box);
        for (const auto& c : layout_.codes)
            code(c);
        texts(false);
        texts(true);
        std::string out;
        if (!failed() && HPDF_SaveToStream(document()) == HPDF_OK) out = read_stream();
        if (failed())
            return refuse(
                message("tag.pdf_failed").with("error", fmt::format("0x{:04X}/{}", first_.error, first_.detail)));
        return out;
    }

  private:
    HPDF_Doc document() { return document_.get(); }
    bool failed() const { return first_.error != HPDF_OK; }
    double y_of(double mm_from_top) const { return (layout_.height - mm_from_top) * points_per_mm; }

    void rectangle(const Box& b) {
        HPDF_Page_Rectangle(page_, real(b.x * points_per_mm), real(y_of(b.bottom())), real(b.width * points_per_mm),
                            real(b.height * points_per_mm));
    }
    void fill(const Box& b) {
        if (failed()) return;
        rectangle(b);
        HPDF_Page_Fill(page_);
    }
    // Edges moved to the nearest dots, so that lines of one thickness print with one thickness.
    Box on_dots(const Box& b) const {
        const double dot = 25.4 / dpi_, inset = inset_dots * dot;
        const auto snapped = [dot](double mm) { return std::round(mm / dot) * dot; };
        const double width = std::max(dot, snapped(b.width)), height = std::max(dot, snapped(b.height));
        return {snapped(b.x) + inset, snapped(b.y) + inset, width - 2 * inset, height - 2 * inset};
    }
    void frame(const PlacedFrame& f) {
        if (failed()) return;
        if (f.filled) return fill(f.box);
        HPDF_Page_SetLineWidth(page_, real(0.4 * points_per_mm));
        const double half = 0.2;  // the stroke stays inside its box
        rectangle({f.box.x + half, f.box.y + half, f.box.width - 2 * half, f.box.height - 2 * half});
        HPDF_Page_Stroke(page_);
    }

    void code(const PlacedCode& c) {
        if (failed()) return;
        const double dot = 72.0 / dpi_;
        for (const auto& a : c.symbol.dark) {
            const double left = c.left_dots + a.x * c.dots + inset_dots;
            const double bottom = c.top_dots + (a.y + a.height) * c.bar_dots - inset_dots;
            const double width = a.width * c.dots - 2 * inset_dots;
            const double height = a.height * c.bar_dots - 2 * inset_dots;
            HPDF_Page_Rectangle(page_, real(left * dot), real(layout_.height * points_per_mm - bottom * dot),
                                real(width * dot), real(height * dot));
        }
        HPDF_Page_Fill(page_);
    }

    HPDF_Font font(std::size_t face) {
        if (loaded_[face] == nullptr && !failed()) {
            const char* name = HPDF_LoadTTFontFromFile(document(), fonts_.face(face).path().c_str(), HPDF_TRUE);
            // Latin alone needs no map of 65 536 glyphs in the file: a third of the time.
            if (name != nullptr)
                loaded_[face] = HPDF_GetFont(document(), name, face == FontSet::bold ? "WinAnsiEncoding" : "UTF-8");
        }
        return loaded_[face];
    }

    static std::string encoded(const TextRun& run) {
        if (run.face != FontSet::bold) return encode_utf8(run.text);
        std::string out;  // WinAnsi is Latin-1 wherever Latin-1 has a letter
        for (const char32_t c : run.text)
            out += static_cast<char>(static_cast<unsigned char>(c));
        return out;
    }

    void texts(bool white) {
        if (failed()) return;
        HPDF_Page_SetGrayFill(page_, white ? 1 : 0);
        HPDF_Page_BeginText(page_);
        for (const auto& t : layout_.texts) {
            if (t.white != white) continue;
            double x = t.box.x;
            for (const auto& run : fonts_.runs(t.text, t.weight)) {
                const HPDF_Font f = font(run.face);
                if (failed()) return;
                HPDF_Page_SetFontAndSize(page_, f, real(t.size * points_per_mm));
                HPDF_Page_TextOut(page_, real(x * points_per_mm), real(y_of(t.base_line)), encoded(run).c_str());
                x += fonts_.width(run.text, run.face == FontSet::bold ? Weight::bold : Weight::regular) * t.size;
            }
        }
        HPDF_Page_EndText(page_);
    }

    std::string read_stream() {
        std::string out(HPDF_GetStreamSize(document()), '\0');
        HPDF_ResetStream(document());
        HPDF_UINT32 size = static_cast<HPDF_UINT32>(out.size());
        HPDF_ReadFromStream(document(), reinterpret_cast<HPDF_BYTE*>(out.data()), &size);
        if (size != out.size()) keep_first(HPDF_FILE_IO_ERROR, size, &first_);
        return out;
    }

    const PageLayout& layout_;
    const FontSet& fonts_;
    int dpi_;
    FirstError first_;
    std::unique_ptr<_HPDF_Doc_Rec, FreeDocument> document_;
    HPDF_Page page_ = nullptr;
    std::array<HPDF_Font, FontSet::faces> loaded_{};
};

}  // namespace

Result<std::string> draw_page(const PageLayout& page, const FontSet& fonts, int dpi) {
    return Drawing(page, fonts, dpi).bytes();
}

}  // namespace crimpgate
