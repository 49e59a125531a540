#include <sys/timex.h>

#include "station/daemon/desk.h"

namespace crimpgate {

// The kernel's word for it: a time server keeps the clock, and not too long ago (adjtimex(2)).
bool clock_synchronised() {
    timex state{};
    return adjtimex(&state) != TIME_ERROR && (state.status & STA_UNSYNC) == 0;
}

}  // namespace crimpgate
