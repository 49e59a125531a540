// A file descriptor with one owner: closed when the owner goes.
#pragma once

#include <unistd.h>

#include <utility>

namespace crimpgate {

class OwnedFd {
  public:
    OwnedFd() = default;
    explicit OwnedFd(int fd) : fd_(fd) {}
    OwnedFd(OwnedFd&& other) noexcept : fd_(other.release()) {}
    OwnedFd& operator=(OwnedFd&& other) noexcept {
        if (this != &other) {
            close();
            fd_ = other.release();
        }
        return *this;
    }
    OwnedFd(const OwnedFd&) = delete;
    OwnedFd& operator=(const OwnedFd&) = delete;
    ~OwnedFd() { close(); }

    explicit operator bool() const { return fd_ >= 0; }
    int get() const { return fd_; }
    // The caller closes it from now on.
    int release() { return std::exchange(fd_, -1); }
    // close(2) is not repeated after EINTR: on Linux the descriptor is gone either way.
    void close() {
        if (fd_ >= 0) ::close(std::exchange(fd_, -1));
    }

  private:
    int fd_ = -1;
};

}  // namespace crimpgate
