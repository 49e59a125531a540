#include "station/http/guard.h"

#include <algorithm>
#include <optional>

#include "station/json/canonical.h"

namespace crimpgate {
namespace {

int hex_value(char c) {
    if (c >= '0' && c <= '9') return c - '0';
    if (c >= 'a' && c <= 'f') return c - 'a' + 10;
    if (c >= 'A' && c <= 'F') return c - 'A' + 10;
    return -1;
}

std::optional<std::string> decoded(std::string_view text, bool plus_is_blank) {
    std::string out;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text[i] == '+' && plus_is_blank) {
            out += ' ';
        } else if (text[i] != '%') {
            out += text[i];
        } else {
            if (i + 2 >= text.size()) return std::nullopt;
            const int high = hex_value(text[i + 1]), low = hex_value(text[i + 2]);
            if (high < 0 || low < 0) return std::nullopt;
            out += static_cast<char>(high * 16 + low);
            i += 2;
        }
    }
    const bool control =
        std::any_of(out.begin(), out.end(), [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7F; });
    if (control || !is_utf8(out)) return std::nullopt;
    return out;
}

bool climbs(std::string_view path) {
    for (std::size_t at = 0; at <= path.size();) {
        const auto end = std::min(path.find('/', at), path.size());
        const auto part = path.substr(at, end - at);
        if (part == "." || part == "..") return true;
        at = end + 1;
    }
    return false;
}

std::string lower(std::string_view text) {
    std::string out(text);
    for (char& c : out)
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    return out;
}

}  // namespace

Result<Target> parse_target(std::string_view target) {
    const auto bad = [] { return refuse(message("http.bad_target")); };
    const auto question = target.find('?');
    const auto path = decoded(target.substr(0, question), false);
    if (!path || !path->starts_with('/') || climbs(*path)) return bad();
    Target out;
    out.path = *path;
    if (question == std::string_view::npos) return out;
    std::string_view rest = target.substr(question + 1);
    while (!rest.empty()) {
        const auto end = std::min(rest.find('&'), rest.size());
        const auto pair = rest.substr(0, end);
        rest.remove_prefix(std::min(end + 1, rest.size()));
        const auto equals = std::min(pair.find('='), pair.size());
        const auto name = decoded(pair.substr(0, equals), true);
        const auto value = decoded(pair.substr(std::min(equals + 1, pair.size())), true);
        if (!name || !value) return bad();
        if (name->empty()) continue;
        if (!out.query.emplace(*name, *value).second)
            return refuse(message("http.doubled_parameter").with("name", *name));
    }
    return out;
}

std::string_view host_name(std::string_view host) {
    if (host.starts_with('[')) {
        const auto close = host.find(']');
        return close == std::string_view::npos ? host : host.substr(0, close + 1);
    }
    return host.substr(0, host.find(':'));
}

std::vector<std::string> host_names_of(const std::string& address) {
    std::vector<std::string> names = {"localhost", "127.0.0.1", "[::1]"};
    const std::string own = address.find(':') == std::string::npos ? address : '[' + address + ']';
    if (std::find(names.begin(), names.end(), own) == names.end()) names.push_back(own);
    return names;
}

std::map<std::string, std::string, std::less<>> parse_cookies(std::string_view header) {
    constexpr std::size_t most = 32;
    const auto fits = [](std::string_view text, std::string_view never) {
        return std::all_of(text.begin(), text.end(),
                           [&](char c) { return c > 0x20 && c < 0x7F && never.find(c) == std::string_view::npos; });
    };
    std::map<std::string, std::string, std::less<>> out;
    while (!header.empty() && out.size() < most) {
        const auto end = std::min(header.find(';'), header.size());
        auto pair = header.substr(0, end);
        header.remove_prefix(std::min(end + 1, header.size()));
        while (pair.starts_with(' '))
            pair.remove_prefix(1);
        while (pair.ends_with(' '))
            pair.remove_suffix(1);
        const auto equals = pair.find('=');
        if (equals == std::string_view::npos || equals == 0) continue;
        const auto name = pair.substr(0, equals);
        auto value = pair.substr(equals + 1);
        if (value.size() >= 2 && value.starts_with('"') && value.ends_with('"'))
            value = value.substr(1, value.size() - 2);
        if (fits(name, "()<>@,;:\\\"/[]?={}") && fits(value, "\",;\\")) out.emplace(name, value);
    }
    return out;
}

Result<void> from_our_pages(const HttpRequest& request, const std::vector<std::string>& hosts) {
    const std::string host = lower(request.host);
    if (std::find(hosts.begin(), hosts.end(), host_name(host)) == hosts.end())
        return refuse(message("http.strange_host").with("host", request.host));
    if (request.method == "GET" || request.method == "HEAD") return {};
    const std::string origin = lower(request.origin);
    const bool ours = origin.empty() || origin == "https://" + host || (origin == "http://" + host && !request.secure);
    if (!ours) return refuse(message("http.foreign_origin").with("origin", request.origin));
    // Older browsers say nothing; "none" is a person's own doing.
    if (request.fetch_site == "cross-site" || request.fetch_site == "same-site")
        return refuse(message("http.foreign_origin").with("origin", origin.empty() ? "another site" : request.origin));
    return {};
}

const std::vector<std::pair<std::string, std::string>>& safety_headers() {
    static const std::vector<std::pair<std::string, std::string>> headers = {
        {"Content-Security-Policy",
         "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
         "font-src 'self'; manifest-src 'self'; object-src 'none'; base-uri 'none'; frame-ancestors 'none'; "
         "form-action 'self'"},
        {"X-Content-Type-Options", "nosniff"},
        {"Referrer-Policy", "no-referrer"},
        {"Cross-Origin-Opener-Policy", "same-origin"},
        {"Cross-Origin-Resource-Policy", "same-origin"},
        {"Cache-Control", "no-store"},
    };
    return headers;
}

std::string_view transport_security(std::string_view host) {
    return host_name(host) == "localhost" ? std::string_view() : "max-age=31536000";
}

}  // namespace crimpgate
