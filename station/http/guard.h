// What a request must be before anybody looks at what it asks: a sound target, a host that is ours, no foreign page.
//
// A server on the loopback address is open to every page in the browser of the same machine: a name that an attacker
// resolves to 127.0.0.1 shows in Host, a foreign page that writes shows in Origin. So the one must be on a list and the
// other the same place as the host, where it is given at all (programs that are no browsers send none). Browsers also
// say from where a request was caused (Sec-Fetch-Site, W3C Fetch Metadata): anything but the same place is foreign.
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
// ("http.bad_target"): no leading slash, a broken escape, what is not UTF-8, control characters, "." and ".."; and a
// name that stands twice ("http.doubled_parameter": name), since either value may be the one that was meant.
Result<Target> parse_target(std::string_view target);

// The name in a Host header without its port: "localhost", "127.0.0.1", "[::1]".
std::string_view host_name(std::string_view host);

// Names under which this machine alone reaches the station, and `address`, on which it listens.
std::vector<std::string> host_names_of(const std::string& address);

// "crimpgate=7f; other=1" (RFC 6265 section 4.2.1) by name: the first where a name stands twice, at most 32, and only
// those that RFC 6265 section 4.1.1 lets be.
std::map<std::string, std::string, std::less<>> parse_cookies(std::string_view header);

// Refusals: "http.strange_host" (host), "http.foreign_origin" (origin), the latter for anything but GET and HEAD.
Result<void> from_our_pages(const HttpRequest& request, const std::vector<std::string>& hosts);

// On every answer: nothing from elsewhere, no frames, no guessing of types, nothing kept by a cache.
const std::vector<std::pair<std::string, std::string>>& safety_headers();

// Through TLS, also: from now on never again in the clear (RFC 6797). Not under the name localhost, which belongs to
// every program of that machine. Empty: nothing to say.
std::string_view transport_security(std::string_view host);

}  // namespace crimpgate
