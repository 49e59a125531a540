// A print server of the test's own, in a temporary folder: tests/support/print-server, started and stopped.
#pragma once

#include <sys/socket.h>
#include <sys/un.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>
#include <thread>

#include <cups/cups.h>

namespace crimpgate::test {

class PrintServer {
  public:
    // Why there can be none here; empty: there can.
    static std::string why_not() {
        if (::access("/usr/sbin/cupsd", X_OK) != 0) return "cupsd is not installed (Debian's cups-daemon)";
        return ::geteuid() == 0 ? "" : "cupsd needs root";
    }

    explicit PrintServer(std::filesystem::path folder) : folder_(std::move(folder)) {
        start();
        cupsSetServer(socket().c_str());
    }
    ~PrintServer() {
        stop();
        cupsSetServer(nullptr);
    }
    PrintServer(const PrintServer&) = delete;
    PrintServer& operator=(const PrintServer&) = delete;

    void start() {
        const std::string script = std::string(CRIMPGATE_SOURCE_DIR) + "/tests/support/print-server";
        std::filesystem::remove(socket());
        pid_ = ::fork();
        if (pid_ == 0) {
            ::execl(script.c_str(), script.c_str(), folder_.c_str(), static_cast<char*>(nullptr));
            ::_exit(127);
        }
        wait_for([&] { return takes_calls(); });
    }
    void stop() {
        if (pid_ <= 0) return;
        ::kill(pid_, SIGTERM);
        ::waitpid(pid_, nullptr, 0);
        pid_ = 0;
    }
    void break_device(bool broken) const {
        if (broken)
            std::ofstream(out() / "FAIL") << "x";
        else
            std::filesystem::remove(out() / "FAIL");
    }

    std::string socket() const { return (folder_ / "run/cups.sock").string(); }
    std::filesystem::path out() const { return folder_ / "out"; }
    // What was printed, once there are that many; less after a minute.
    std::size_t printed(std::size_t wanted) const {
        wait_for([&] { return count() >= wanted; });
        return count();
    }
    std::size_t count() const {
        std::size_t n = 0;
        for (const auto& file : std::filesystem::directory_iterator(out()))
            n += file.path().filename().string().rfind("job-", 0) == 0 ? 1 : 0;
        return n;
    }

  private:
    // The socket's name is there some time before anybody listens.
    bool takes_calls() const {
        sockaddr_un to{};
        to.sun_family = AF_UNIX;
        const auto name = socket();
        if (name.size() >= sizeof to.sun_path) return false;
        name.copy(to.sun_path, name.size());
        const int fd = ::socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0);
        const bool taken = ::connect(fd, reinterpret_cast<const sockaddr*>(&to), sizeof to) == 0;
        ::close(fd);
        return taken;
    }

    template <class So>
    static void wait_for(const So& so) {
        const auto end = std::chrono::steady_clock::now() + std::chrono::seconds(60);
        while (!so() && std::chrono::steady_clock::now() < end)
            std::this_thread::sleep_for(std::chrono::milliseconds(20));
    }

    std::filesystem::path folder_;
    pid_t pid_ = 0;
};

}  // namespace crimpgate::test
