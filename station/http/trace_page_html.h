// The customer's page (station/web/trace) as it goes out: with its sentences in both languages and what it is to show
// inside, so that it asks nobody for anything and goes on showing that without a network.
#pragma once

#include <string>

#include "station/http/check_page.h"
#include "station/http/http_types.h"

namespace crimpgate {

// `shown`: a JSON object, the overview or {"gone": true} or {"wait": seconds}.
HttpResponse trace_page_html(const PageText& text, const std::string& prefix, const std::string& shown);

}  // namespace crimpgate
