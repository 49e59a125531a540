// Where a gauge is, from text and back.
#include <charconv>

#include "drivers/gauge_line.h"

namespace crimpgate {

Result<GaugeAddress> GaugeAddress::parse(std::string_view text) {
    constexpr std::string_view tcp = "tcp://";
    const auto bad = [&] { return refuse(message("line.bad_address").with("found", text)); };
    if (text.find_first_of(std::string_view(" \t\r\n\0", 5)) != std::string_view::npos) return bad();
    GaugeAddress address;
    if (!text.starts_with(tcp)) {
        if (text.size() < 2 || text.front() != '/') return bad();
        address.path = text;
        return address;
    }
    std::string_view host = text.substr(tcp.size());
    const auto colon = host.rfind(':');
    if (colon == std::string_view::npos) return bad();
    const std::string_view digits = host.substr(colon + 1);
    host = host.substr(0, colon);
    const auto [end, ec] = std::from_chars(digits.data(), digits.data() + digits.size(), address.port);
    if (ec != std::errc{} || end != digits.data() + digits.size() || address.port == 0) return bad();
    const bool bracketed = host.size() > 2 && host.front() == '[' && host.back() == ']';
    if (bracketed) host = host.substr(1, host.size() - 2);
    if (host.empty() || host.find_first_of("/[]@") != std::string_view::npos) return bad();
    if (!bracketed && host.find(':') != std::string_view::npos) return bad();
    address.host = host;
    return address;
}

std::string GaugeAddress::text() const {
    if (!path.empty()) return path;
    const bool v6 = host.find(':') != std::string::npos;
    return "tcp://" + (v6 ? '[' + host + ']' : host) + ':' + std::to_string(port);
}

}  // namespace crimpgate
