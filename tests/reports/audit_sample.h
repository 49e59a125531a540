// An invented shift of 200 assemblies (400 ends) as an audit, for the tests of what people take away of it.
#pragma once

#include <map>
#include <string>

#include "reports/audit/audit.h"
#include "reports/audit_pdf.h"

namespace crimpgate::samples {

// The figures of its sheets agree with each other; its charts hold 400 points with a shift of the setting in them.
audit::Audit shift_audit();

// As a station would hand it over: words of the catalogue (station/words) in that language, times of Berlin in winter.
AuditPaper shift_paper(PaperSize size, const std::string& language);

// Names, lots and remarks that mean harm or are merely awkward.
std::vector<std::string> hostile_texts();

}  // namespace crimpgate::samples
