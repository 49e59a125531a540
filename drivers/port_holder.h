// Which other program has a port. Linux only, from /proc; for the words of a refusal, never for a decision.
#pragma once

#include <sys/types.h>

#include <optional>
#include <string>

namespace crimpgate {

struct PortHolder {
    pid_t pid = 0;
    std::string program;  // empty when it cannot be known
};

// The process that holds a flock on the open file `fd`; nullopt when nobody does or /proc does not say.
std::optional<PortHolder> lock_holder(int fd);

// Another process than ours with the device at `path` open. Sees other people's processes only as root.
std::optional<PortHolder> open_elsewhere(const std::string& path);

}  // namespace crimpgate
