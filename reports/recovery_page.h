// The recovery page: the station's secret on one sheet of paper, for the day on which its disk is gone.
//
// The groups stand in rows of three, each with its number above it, large enough to be read aloud. The page says what
// it is, where to keep it, what never to do with it, and how it is read back. Sentences are the catalogue's
// ("recovery.paper.*"). Whoever has the page can sign in the station's name: the caller says so, and keeps no copy.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "reports/fonts.h"
#include "reports/paper.h"
#include "specs/message.h"

namespace crimpgate {

struct RecoveryPage {
    PaperSize size = PaperSize::a4;
    std::string language = "en";
    std::function<std::string(const Message&)> say;  // a sentence of the catalogue; without it the code stands there
    std::string shop;
    std::string station;
    std::string date;                 // in the shop's time zone
    std::string printed_by;           // a name
    std::string key;                  // the public key, to compare with after it was read back
    std::vector<std::string> groups;  // the secret (station/proof/recovery_text.h)
};

// One page, for tests; recovery_page_pdf draws exactly this.
Paper recovery_page_paper(const RecoveryPage& page, const FontSet& fonts);

// Refusals: "print.font_unusable", "tag.pdf_failed".
Result<std::string> recovery_page_pdf(const RecoveryPage& page);

}  // namespace crimpgate
