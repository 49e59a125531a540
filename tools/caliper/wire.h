// What a simulated gauge is connected by: a pseudo-terminal or a TCP port, which can be pulled out and put back.
//
// Not thread-safe; the caliper that owns it locks.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "drivers/owned_fd.h"
#include "drivers/pty.h"
#include "specs/message.h"

namespace crimpgate {

class Wire {
  public:
    // A stable link to a pseudo-terminal; without a link it has only the name that the system gives it.
    static Result<Wire> on_pty(std::string link);
    // Listens on 127.0.0.1; 0 takes any free port. One far side at a time: a newer one replaces the older.
    static Result<Wire> on_tcp(std::uint16_t port);

    // For a gauge's configuration: a path, or tcp://127.0.0.1:PORT.
    std::string address() const;
    bool plugged() const { return pty_ || listener_; }
    // Somebody has the line open.
    bool listened_to();
    Result<void> plug();
    // As if the cable were pulled: what the far side has not read is lost.
    void unplug();
    // Bytes that the far side has not read yet.
    int waiting() const;
    // False: nobody can take the bytes now.
    bool write(std::string_view bytes);
    // What the far side has sent, at most 512 bytes; never waits.
    std::string read();

  private:
    void accept_newest();

    std::string link_;
    std::uint16_t port_ = 0;
    std::optional<Pty> pty_;
    OwnedFd listener_;
    OwnedFd client_;
};

}  // namespace crimpgate
