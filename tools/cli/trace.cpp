// trace: a serial, as typed, and everything known of it.
#include <boost/json.hpp>

#include "tools/cli/commands.h"
#include "tools/cli/source.h"

namespace crimpgate::cli {

int trace(const CommandLine& line) {
    const auto serial = Serial::parse(line.words[0]);
    if (!serial) return fail(Exit::wrong_use, serial.error());
    bool wrong = false;
    const auto source = open_source(line, Access::read, wrong);
    if (!source) return wrong ? fail(Exit::wrong_use, source.error()) : fail_with(source.error());
    const auto known = (*source)->trace(*serial);
    if (!known) return fail_with(known.error());
    if (line.has("--json")) {
        print_json(*known);
        return Exit::fine;
    }
    const auto unit = (*source)->shown_unit();
    if (!unit) return fail_with(unit.error());
    print(trace_text(*known, *unit));
    return Exit::fine;
}

}  // namespace crimpgate::cli
