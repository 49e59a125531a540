// Opens a serial port so that nothing but the gauge's own bytes can come out of it.
//
// In this order, each step for a pain known from the field:
//   1. open without waiting for a carrier and without making it our terminal;
//   2. flock, before anything is set: a port in use by another program is refused by that program's name and left as it
//   is;
//   3. TIOCEXCL, which also keeps out programs that lock nothing (not on a pseudo-terminal, where the mark outlives
//   us);
//   4. the line's mode, written in full and read back: a driver may take a setting with a smile and not apply it, and
//   in any
//      mode but raw the terminal layer swallows 0x0D, 0x11 and 0x13;
//   5. DTR and RTS as the profile says, and no hang-up on close, since some gauges draw their power from them;
//   6. flush: bytes from before we opened are nobody's reading.
// A pseudo-terminal knows 8N1 only and has no modem lines: what it cannot take is noted instead of refused.
#pragma once

#include <string>
#include <vector>

#include "drivers/owned_fd.h"
#include "drivers/profile.h"
#include "specs/message.h"

namespace crimpgate {

struct OpenedPort {
    OwnedFd fd;  // non-blocking, closed on exec
    bool pseudo_terminal = false;
    std::vector<Message> notes;  // port.pty_takes_no (setting): settings that a pseudo-terminal does not know
};

// Refusals: port.missing (path), port.no_permission (path, owner, group, mode), port.in_use (path, program, pid),
// port.not_a_port (path), port.settings_refused (path, setting), port.baud_unknown (baud), port.failed (path, step,
// reason).
Result<OpenedPort> open_serial_port(const std::string& path, const LineSettings& line);

// To be called right before the port is closed: drops what was not sent yet, so that closing does not
// wait for it, and takes the exclusive mark off for the next one who opens the port.
void give_up_serial_port(int fd);

// "9600 8N1, no flow control, DTR on, RTS on"
std::string describe(const LineSettings& line);

}  // namespace crimpgate
