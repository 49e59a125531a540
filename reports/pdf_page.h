// One PDF page through libharu, which keeps the document while this object lives.
//
// libharu reports errors by a call-back and is unusable after the first: the first error is kept, nothing is drawn
// after it, and finish() answers with it. No date is written, so the same layout gives the same bytes.
#pragma once

#include <string>

#include "reports/page_layout.h"

namespace crimpgate {

// "tag.pdf_failed" with libharu's error number.
Result<std::string> draw_page(const PageLayout& page, const FontSet& fonts, int dpi);

}  // namespace crimpgate
