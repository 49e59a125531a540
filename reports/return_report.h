// The report on a hose that came back, on paper: what was seen, which causes are likely with every line of the
// arithmetic, what the record says, what cannot be known, what to do at the bench and in use, and who else is at risk.
//
// Cautions stand first (R13). All words come from the reader's catalogue; every figure is the ranking's own. Text that
// a font lacks is written by its code, "[U+05E9]". Pages say up to which entry, with what hash, the record was read.
//
// There are two copies, and each says on its face which it is: the shop's own, which names other customers and must not
// leave the house, and the customer's, in which whoever fills it in names nobody else's assemblies (R12).
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "reports/audit/shown_cell.h"
#include "reports/fonts.h"
#include "reports/paper.h"
#include "specs/failure_ranking.h"

namespace crimpgate {

// One fact of the record, as the station shows it: "Crimp A, flat 1" "25.49 mm".
struct ReturnFact {
    std::string label, value;
};

// Who was found in a group at risk. No count: the record cannot tell (an unknown hose, a lot that was not noted).
struct FoundSiblings {
    SiblingGroup group = SiblingGroup::hose_lot;
    std::string key;  // "NH-3Q26-1187"
    std::optional<std::int64_t> count;
    std::vector<std::string> serials;  // all of them, or the first
    std::string where{};               // how many of them are out, and with whom; in the reader's words
};

struct ReturnReport {
    std::string number;     // of the return
    std::string serial;     // empty: an unknown hose
    std::string described;  // hose and fittings, or what could be read from an unknown one
    std::string customer, order;
    std::optional<std::int64_t> opened_ms, concluded_ms;
    std::string concluded_by;
    std::string remark;             // of whoever concluded it
    std::vector<Answered> answers;  // as check_answers accepts them
    ReturnRanking ranking;
    std::vector<ReturnFact> record;    // what the record says
    std::vector<ReturnFact> measured;  // on the returned part
    std::vector<FoundSiblings> siblings;
    std::string cause{};         // as judged by whoever concluded it: a cause's id; empty: not known
    std::string bench_action{};  // what they decided
    std::string application_action{};
    std::vector<Message> notices{};  // what has to be read before anything else
    bool for_customer = false;       // the copy that may leave the house
};

struct ReturnPaper {
    PaperSize size = PaperSize::a4;
    audit::Reader reader;
    std::string shop, station, made_by;
    std::int64_t made_ms = 0;
    std::int64_t last_seq = 0;  // of the record that it was made from, and its hash
    std::string last_hash;
    std::size_t most_serials = 60;  // of one group; of a longer one the paper says how many there are
};

// What stands on which page, for tests; return_report_pdf draws exactly this.
Paper return_report_paper(const ReturnReport& report, const ReturnPaper& paper, const FontSet& fonts);

// Refusals: "print.font_unusable", "tag.pdf_failed".
Result<std::string> return_report_pdf(const ReturnReport& report, const ReturnPaper& paper);

}  // namespace crimpgate
