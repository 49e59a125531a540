// The answers behind a customer's link: each from a journal of its own and what was asked, on any thread.
#pragma once

#include <cstdint>
#include <functional>
#include <map>
#include <string>

#include "station/http/http_types.h"
#include "station/http/trace_page.h"
#include "station/journal/checkpoints.h"
#include "station/journal/customer_view.h"

namespace crimpgate {

struct TraceAsked {
    LinkScope scope;
    std::string serial{}, order{}, lot{};  // one of them at most
    std::string shop{}, address{}, link{}, station{}, time_zone{};
    std::map<std::string, std::string> names{};  // of people, as certificates print them
    std::int64_t now_ms = 0;
    KeptCheckpoint checkpoint{};  // of an evidence file
};

using TraceWork = std::function<HttpResponse(const Journal& journal, const TraceAsked& asked)>;

// What answers that route; `rest` is the path behind the token.
TraceWork trace_work(const CustomerRoute& route, const std::string& rest);

// The newest checkpoint if it covers everything that the journal has of the assembly, else one signed now.
Result<KeptCheckpoint> checkpoint_over(Api& api, const std::string& serial);

// The file of a certificate that was issued, as it was issued; `known` is its row.
HttpResponse certificate_for(Api& api, const boost::json::object& known, bool paper);

// The measuring results of a certificate that was issued, from its kept evidence; `known` is its row.
TraceWork certificate_results(std::string evidence, const boost::json::object& known);

}  // namespace crimpgate
