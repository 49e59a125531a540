// What an audit's paper says beside the audit's own figures; sentences are the catalogue's.
#pragma once

#include <string>
#include <vector>

#include "reports/audit/audit.h"
#include "reports/audit_pdf.h"

namespace crimpgate::audit_words {

struct Labelled {
    std::string label, value;
};

// "Audit of shift 2026-11-25/1": by the narrowest thing that was asked for. "Gauge study GS-1".
std::string title(const audit::Audit& audit, const audit::Reader& reader);

// Shop, station, what of, period, when and by whom it was made, up to which entry the record was read and verified.
std::vector<Labelled> head(const audit::Audit& audit, const AuditPaper& paper);

// "K1, entry 18342, hash 3f9a0c1be27d, printed from the record": on every page.
std::string foot(const audit::Audit& audit, const audit::Reader& reader);
std::string page_of(std::size_t page, std::size_t pages, const audit::Reader& reader);

// R13, and whether the record is sound.
std::string caution(const audit::Reader& reader);

// Who signed off electronically and when, from the sheet "shifts"; or that nobody has. Of a study or a sample nothing.
std::vector<std::string> signatures(const audit::Audit& audit, const audit::Reader& reader);

// "2026-11-25 08:12:03" where the reader has a local time, else in UTC.
std::string time_of(std::int64_t ms, const audit::Reader& reader);

// A rule's name for the legend of a chart.
std::string rule_name(const std::string& code, const audit::Reader& reader);

}  // namespace crimpgate::audit_words
