// A crimpgated of our own: started, waited for, stopped or killed.
#pragma once

#include <sys/types.h>

#include <cstdint>
#include <string>

#include "specs/message.h"

namespace crimpgate {

class Child {
  public:
    // Starts `program --config config`, its log going to `log`; returns once it says where it listens.
    // "child.not_started" (program, log).
    static Result<Child> start(const std::string& program, const std::string& config, const std::string& log);
    Child(Child&& other) noexcept;
    Child& operator=(Child&& other) noexcept;
    // Kills what still runs.
    ~Child();

    std::uint16_t port() const { return port_; }
    // With what the first person is added; empty when the station knows somebody.
    const std::string& first_code() const { return first_code_; }
    void kill();  // SIGKILL, and waits
    int stop();   // SIGTERM, waits, gives the exit status
    // Ours no longer: it goes on when we end.
    pid_t release();

  private:
    Child(pid_t pid, std::uint16_t port) : pid_(pid), port_(port) {}
    int wait();
    pid_t pid_ = -1;
    std::uint16_t port_ = 0;
    std::string first_code_;
};

}  // namespace crimpgate
