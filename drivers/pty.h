// A pseudo-terminal under a stable name: what a simulated gauge is plugged into.
//
// The far side opens device() or the link like any serial port. Raw from the start, so that nothing is echoed or
// translated before the far side has set its own mode. Linux only. A pseudo-terminal knows neither parity nor modem
// lines. Bytes written while nobody has it open wait for the next one who opens it; bytes written right before it
// closes are lost.
#pragma once

#include <string>
#include <string_view>

#include "drivers/owned_fd.h"
#include "specs/message.h"

namespace crimpgate {

class Pty {
  public:
    // `link`: where a symbolic link to the device is put, replacing an older link but nothing else; empty for none.
    static Result<Pty> open(std::string link = {});
    Pty(Pty&&) noexcept = default;
    Pty& operator=(Pty&&) noexcept;
    ~Pty();

    int master() const { return master_.get(); }
    const std::string& device() const { return device_; }
    // Somebody has the far side open.
    bool in_use() const;
    // Bytes that the far side has not taken yet.
    int waiting() const;
    // All of it or false: the far side takes nothing (about 11 kB wait at most) or is gone.
    bool write(std::string_view bytes);

  private:
    Pty() = default;
    void drop_link();

    OwnedFd master_;
    std::string device_;
    std::string link_;
};

}  // namespace crimpgate
