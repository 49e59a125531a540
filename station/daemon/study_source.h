// A gauge study or a sample from a journal, as an audit of its own: the same sheets for page, paper, CSV and terminal.
//
// Like audit_source.h it needs nothing but a journal opened for reading, so the command line makes it of a file without
// a station. Only the entries that speak of studies, samples and people are read (station/journal/happenings.h).
#pragma once

#include <string>

#include "station/daemon/audit_source.h"

namespace crimpgate {

// "bench.no_study" (study); "bench.study_incomplete" (study): blind until every turn is measured, and a study that was
// given up has no result; what the statistics refuse (reports/audit/study_sheets.h).
Result<audit::Audit> study_audit(const Journal& journal, const std::string& study, const AuditSetting& setting);

// "bench.no_sample" (sample). One that is not measured yet has its plan alone.
Result<audit::Audit> sample_audit(const Journal& journal, const std::string& sample, const AuditSetting& setting);

}  // namespace crimpgate
