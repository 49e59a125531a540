// Where everything stands on a tag.
//
// Texts are set as large as the label allows: the whole is tried at ever smaller sizes until it fits, and refused when
// it does not fit at the smallest that a 203 dpi head still prints legibly. Serial and working pressure stay large.
#pragma once

#include "reports/page_layout.h"
#include "reports/tag.h"

namespace crimpgate {

// Refusals as render_tag(). Also the way to ask, when an order comes in, whether its names will fit.
Result<PageLayout> layout_tag(const TagData& tag, TagSize size, const FontSet& fonts, int dpi);

}  // namespace crimpgate
