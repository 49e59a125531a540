// What a request must be before anybody looks at what it asks: a sound target, a host that is ours, no foreign page.
//
// A server on the loopback address is open to every page in the browser of the same machine: a name that an attacker
// resolves to 127.0.0.1 shows in Host, a foreign page that writes shows in Origin. So the one must be on a list and the
// other the same place as the host, where it is given at all (programs that are no browsers send none).
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "specs/message.h"
#include "station/http/http_types.h"

namespace crimpgate {

struct Target {
    std::string path;
    std::map<std::string, std::string> query;
};

// "/api/entries?from=7&limit=5": percent-decoding (RFC 3986 section 2.1; + stands for a blank in the query). Refused
// ("http.bad_target"): no leading slash, a broken escape, what is not UTF-8, control characters, "." and "..".
Result<Target> parse_target(std::string_view target);

// The name in a Host header without its port: "localhost", "127.0.0.1", "[::1]".
std::string_view host_name(std::string_view host);

// Names under which this machine alone reaches the station, and `address`, on which it listens.
std::vector<std::string> host_names_of(const std::string& address);

// Refusals: "http.strange_host" (host), "http.foreign_origin" (origin), the latter for anything but GET.
Result<void> from_our_pages(const HttpRequest& request, const std::vector<std::string>& hosts);

// On every answer: no foreign scripts, no frames, no guessing of types, nothing kept by a cache.
const std::vector<std::pair<std::string, std::string>>& safety_headers();

}  // namespace crimpgate
