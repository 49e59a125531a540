// Draws paper through libharu, which is unusable after its first error: the first is kept and nothing is drawn after
// it.
#include <fmt/format.h>
#include <hpdf.h>

#include <array>
#include <memory>
#include <new>

#include "reports/paper.h"
#include "reports/pdf_errors.h"

namespace crimpgate {

namespace {

HPDF_REAL points(double mm) {
    return static_cast<HPDF_REAL>(mm * points_per_mm);
}

class Press {
  public:
    Press(const Paper& paper, const FontSet& fonts) : paper_(paper), fonts_(fonts) {
        document_.reset(HPDF_New(keep_first, &first_));
        if (!document_) throw std::bad_alloc();
        HPDF_UseUTFEncodings(document_.get());
        HPDF_SetCurrentEncoder(document_.get(), "UTF-8");
        HPDF_SetCompressionMode(document_.get(), HPDF_COMP_ALL);
        HPDF_SetInfoAttr(document_.get(), HPDF_INFO_CREATOR, "crimpgate");
        HPDF_SetInfoAttr(document_.get(), HPDF_INFO_TITLE, paper.title.c_str());
    }

    Result<std::string> bytes() {
        for (const auto& page : paper_.pages)
            print(page);
        std::string out;
        if (!failed() && HPDF_SaveToStream(document_.get()) == HPDF_OK) out = read_stream();
        if (failed())
            return refuse(
                message("tag.pdf_failed").with("error", fmt::format("0x{:04X}/{}", first_.error, first_.detail)));
        return out;
    }

  private:
    bool failed() const { return first_.error != HPDF_OK; }
    HPDF_REAL up(double mm_from_top) const { return points(paper_.height - mm_from_top); }

    void print(const PaperPage& page) {
        if (failed()) return;
        page_ = HPDF_AddPage(document_.get());
        if (failed()) return;
        HPDF_Page_SetWidth(page_, points(paper_.width));
        HPDF_Page_SetHeight(page_, points(paper_.height));
        for (const auto& path : page.under)
            trace(path);
        for (const auto& path : page.paths)
            trace(path);
        texts(page.texts);
    }

    void trace(const PaperPath& path) {
        if (failed() || path.points.size() < 2) return;
        if (path.filled) {
            HPDF_Page_SetGrayFill(page_, static_cast<HPDF_REAL>(path.shade));
        } else {
            HPDF_Page_SetGrayStroke(page_, static_cast<HPDF_REAL>(path.shade));
            HPDF_Page_SetLineWidth(page_, points(path.width));
            const HPDF_UINT16 dash[] = {static_cast<HPDF_UINT16>(path.dash * points_per_mm + 0.5)};
            HPDF_Page_SetDash(page_, dash, dash[0] > 0 ? 1 : 0, 0);
        }
        HPDF_Page_MoveTo(page_, points(path.points[0].x), up(path.points[0].y));
        for (std::size_t i = 1; i < path.points.size(); ++i)
            HPDF_Page_LineTo(page_, points(path.points[i].x), up(path.points[i].y));
        if (path.filled)
            HPDF_Page_Fill(page_);
        else if (path.closed)
            HPDF_Page_ClosePathStroke(page_);
        else
            HPDF_Page_Stroke(page_);
    }

    HPDF_Font font(std::size_t face) {
        if (loaded_[face] == nullptr && !failed()) {
            const char* name = HPDF_LoadTTFontFromFile(document_.get(), fonts_.face(face).path().c_str(), HPDF_TRUE);
            if (name != nullptr)
                loaded_[face] =
                    HPDF_GetFont(document_.get(), name, face == FontSet::bold ? "WinAnsiEncoding" : "UTF-8");
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

    void texts(const std::vector<PaperText>& all) {
        if (failed()) return;
        HPDF_Page_BeginText(page_);
        for (const auto& t : all) {
            double x = t.x;
            HPDF_Page_SetGrayFill(page_, static_cast<HPDF_REAL>(t.shade));
            for (const auto& run : fonts_.runs(t.text, t.weight)) {
                const HPDF_Font f = font(run.face);
                if (failed()) return;
                HPDF_Page_SetFontAndSize(page_, f, points(t.size));
                HPDF_Page_TextOut(page_, points(x), up(t.base_line), encoded(run).c_str());
                x += fonts_.width(run.text, run.face == FontSet::bold ? Weight::bold : Weight::regular) * t.size;
            }
        }
        HPDF_Page_EndText(page_);
    }

    std::string read_stream() {
        std::string out(HPDF_GetStreamSize(document_.get()), '\0');
        HPDF_ResetStream(document_.get());
        HPDF_UINT32 size = static_cast<HPDF_UINT32>(out.size());
        HPDF_ReadFromStream(document_.get(), reinterpret_cast<HPDF_BYTE*>(out.data()), &size);
        if (size != out.size()) keep_first(HPDF_FILE_IO_ERROR, size, &first_);
        return out;
    }

    const Paper& paper_;
    const FontSet& fonts_;
    FirstError first_;
    std::unique_ptr<_HPDF_Doc_Rec, FreeDocument> document_;
    HPDF_Page page_ = nullptr;
    std::array<HPDF_Font, FontSet::faces> loaded_{};
};

}  // namespace

Result<std::string> draw_paper(const Paper& paper, const FontSet& fonts) {
    return Press(paper, fonts).bytes();
}

}  // namespace crimpgate
