// An audit on paper: what the QC lead signs and an auditor keeps.
//
// First whose, what of and when, with the record that it was printed from; then the figures, what must be looked at
// first, the reasons as a Pareto chart, the control charts and every sheet; then the signatures. Every page says which
// page of how many it is and up to which entry, with what hash, the record was read: the paper can be held against it.
// Text that a font lacks is written by its code, "[U+05E9]": evidence is neither dropped nor refused.
#pragma once

#include <cstddef>
#include <string>

#include "reports/audit/audit.h"
#include "reports/audit/shown_cell.h"
#include "reports/audit_pdf_table.h"
#include "reports/fonts.h"
#include "reports/paper.h"

namespace crimpgate {

struct AuditPaper {
    PaperSize size = PaperSize::a4;
    audit::Reader reader;  // people by the names that the audit has, whatever stands there
    std::string shop;      // its name as the configuration has it
    std::string made_by;   // who had it printed; may be empty
    // Rows of one sheet that are printed; of a longer one the paper says how many are not, and that the files have
    // them all.
    std::size_t longest_sheet = 500;
};

// What stands on which page, for tests; audit_pdf draws exactly this.
Paper audit_paper(const audit::Audit& audit, const AuditPaper& paper, const FontSet& fonts);

// A sheet's first rows as they are set.
PaperTable paper_table(const audit::Sheet& sheet, std::size_t rows, const audit::Reader& reader);

// Refusals: "print.font_unusable", "tag.pdf_failed".
Result<std::string> audit_pdf(const audit::Audit& audit, const AuditPaper& paper);

}  // namespace crimpgate
