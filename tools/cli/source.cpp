// Which of the two kinds a command line names, and what is missing where it names neither.
#include "tools/cli/source.h"

#include "tools/cli/address.h"
#include "tools/cli/pin.h"

namespace crimpgate::cli {

Result<std::unique_ptr<Source>> open_source(const CommandLine& line, Access access, bool& wrong) {
    wrong = true;
    if (line.has("--journal") == line.has("--station")) return refuse(message("cli.which_source"));
    if (line.has("--journal")) {
        for (const std::string_view option : {"--person", "--pin-file"})
            if (line.has(option)) return refuse(message("cli.only_with_station").with("option", option));
        wrong = false;
        return journal_source(line.value("--journal"), access);
    }
    const auto address = station_address(line);
    if (!address) return refuse(address.error());
    const std::string person = line.value("--person");
    if (person.empty()) return refuse(message("cli.who_asks"));
    wrong = false;
    const auto pin = line.has("--pin-file") ? pin_from_file(line.value("--pin-file")) : pin_from_terminal(person);
    if (!pin) return refuse(pin.error());
    return station_source(address->first, address->second, person, *pin);
}

}  // namespace crimpgate::cli
