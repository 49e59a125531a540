// Which of the two kinds a command line names, and what is missing where it names neither.
#include "tools/cli/source.h"

#include <charconv>
#include <optional>

#include "specs/shown_text.h"
#include "tools/cli/pin.h"

namespace crimpgate::cli {

namespace {

struct Address {
    std::string host;
    std::uint16_t port = 0;
};

// http://HOST:PORT, a host with colons in square brackets. The port must be said: there is no usual one.
std::optional<Address> parse_address(std::string_view text) {
    constexpr std::string_view scheme = "http://";
    if (!text.starts_with(scheme)) return std::nullopt;
    text.remove_prefix(scheme.size());
    if (text.ends_with('/')) text.remove_suffix(1);
    const auto colon = text.rfind(':');
    if (colon == std::string_view::npos || colon == 0) return std::nullopt;
    std::string_view host = text.substr(0, colon);
    if (host.starts_with('[') && host.ends_with(']')) host = host.substr(1, host.size() - 2);
    const std::string_view digits = text.substr(colon + 1);
    Address address{std::string(host), 0};
    const auto [end, ec] = std::from_chars(digits.data(), digits.data() + digits.size(), address.port);
    if (ec != std::errc{} || end != digits.data() + digits.size() || address.port == 0) return std::nullopt;
    return address;
}

}  // namespace

Result<std::unique_ptr<Source>> open_source(const CommandLine& line, Access access, bool& wrong) {
    wrong = true;
    if (line.has("--journal") == line.has("--station")) return refuse(message("cli.which_source"));
    if (line.has("--journal")) {
        for (const std::string_view option : {"--person", "--pin-file"})
            if (line.has(option)) return refuse(message("cli.only_with_station").with("option", option));
        wrong = false;
        return journal_source(line.value("--journal"), access);
    }
    const auto address = parse_address(line.value("--station"));
    if (!address) return refuse(message("cli.bad_address").with("found", shown_text(line.value("--station"))));
    const std::string person = line.value("--person");
    if (person.empty()) return refuse(message("cli.who_asks"));
    wrong = false;
    const auto pin = line.has("--pin-file") ? pin_from_file(line.value("--pin-file")) : pin_from_terminal(person);
    if (!pin) return refuse(pin.error());
    return station_source(address->host, address->port, person, *pin);
}

}  // namespace crimpgate::cli
