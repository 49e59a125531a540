#include "reports/tag.h"

#include "reports/pdf_page.h"
#include "reports/tag_layout.h"

namespace crimpgate {

Result<std::string> render_tag(const TagData& tag, TagSize size, const FontSet& fonts, int dpi) {
    const auto page = layout_tag(tag, size, fonts, dpi);
    if (!page) return refuse(page.error());
    return draw_page(*page, fonts, dpi);
}

}  // namespace crimpgate
