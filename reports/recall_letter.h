// A recall as a letter to one customer: which of their assemblies, where they went and when, why, and what to do.
//
// R12: what stands here is that customer's alone; the caller puts in no other's rows. R13: what to do comes with its
// cautions in a frame on the first page, before the list. Sentences are the catalogue's ("recall.paper.*"), in the
// reader's language. Text that a font lacks is written by its code.
#pragma once

#include <cstdint>
#include <functional>
#include <string>
#include <vector>

#include "reports/fonts.h"
#include "reports/paper.h"
#include "specs/message.h"

namespace crimpgate {

struct RecallLetterLine {
    std::string serial;
    std::string customer_part;
    std::string order;
    std::string hose_lot;
    std::string delivery;
    std::string note_number;
    std::string delivered;  // date
    std::string to;
};

struct RecallLetter {
    PaperSize size = PaperSize::a4;
    std::string language = "en";
    std::function<std::string(const Message&)> say;  // a sentence of the catalogue; without it the code stands there
    std::string shop;                                // whose letter it is
    std::string customer;                            // to whom
    std::string recall;      // its number; empty: made from a copy of the record and not entered in it
    std::string date;        // in the shop's time zone
    std::string reason;      // one sentence of the lead's
    std::string written_by;  // a name
    std::string station;
    std::int64_t upto_seq = 0;  // of the record that it was drawn from
    std::string list_sha256;
    std::vector<RecallLetterLine> lines;  // what was delivered to that customer
};

// What stands on which page, for tests; recall_letter_pdf draws exactly this.
Paper recall_letter_paper(const RecallLetter& letter, const FontSet& fonts);

// Refusals: "print.font_unusable", "tag.pdf_failed".
Result<std::string> recall_letter_pdf(const RecallLetter& letter);

}  // namespace crimpgate
