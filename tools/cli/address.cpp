#include "tools/cli/address.h"

#include <charconv>
#include <string_view>

#include "specs/shown_text.h"

namespace crimpgate::cli {

// http://HOST:PORT, a host with colons in square brackets. The port must be said: there is no usual one.
Result<std::pair<std::string, std::uint16_t>> station_address(const CommandLine& line) {
    const std::string given = line.value("--station");
    const auto bad = [&given] { return refuse(message("cli.bad_address").with("found", shown_text(given))); };
    std::string_view text = given;
    constexpr std::string_view scheme = "http://";
    if (!text.starts_with(scheme)) return bad();
    text.remove_prefix(scheme.size());
    if (text.ends_with('/')) text.remove_suffix(1);
    const auto colon = text.rfind(':');
    if (colon == std::string_view::npos || colon == 0) return bad();
    std::string_view host = text.substr(0, colon);
    if (host.starts_with('[') && host.ends_with(']')) host = host.substr(1, host.size() - 2);
    const std::string_view digits = text.substr(colon + 1);
    std::uint16_t port = 0;
    const auto [end, ec] = std::from_chars(digits.data(), digits.data() + digits.size(), port);
    if (ec != std::errc{} || end != digits.data() + digits.size() || port == 0) return bad();
    return std::pair{std::string(host), port};
}

}  // namespace crimpgate::cli
