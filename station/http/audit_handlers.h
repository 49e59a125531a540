// The audit's routes: what the QC lead and an auditor ask, and what the lead decides about charts and shifts.
#pragma once

#include "station/http/http_types.h"

namespace crimpgate {

struct ApiCall;

namespace handlers {
HttpAnswer audit_whole(ApiCall& call);
HttpAnswer audit_sheet(ApiCall& call);
HttpAnswer audit_paper(ApiCall& call);
HttpAnswer audit_file(ApiCall& call);
HttpAnswer shifts_list(ApiCall& call);
HttpAnswer freeze_limits(ApiCall& call);
HttpAnswer watch(ApiCall& call);
HttpAnswer set_watch(ApiCall& call);
}  // namespace handlers

}  // namespace crimpgate
