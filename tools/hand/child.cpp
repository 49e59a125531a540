#include "tools/hand/child.h"

#include <fcntl.h>
#include <poll.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <charconv>
#include <csignal>
#include <string_view>
#include <utility>

extern char** environ;

namespace crimpgate {

namespace {

constexpr int start_ms = 60'000;  // sanitized builds on a busy machine take their time

// Empty when the pipe ends first, or nothing has come for long.
std::string next_line(int fd) {
    std::string line;
    for (;;) {
        pollfd wait{fd, POLLIN, 0};
        if (::poll(&wait, 1, start_ms) <= 0) return {};
        char c = 0;
        if (::read(fd, &c, 1) != 1) return {};
        if (c == '\n') return line;
        line += c;
    }
}

}  // namespace

Result<Child> Child::start(const std::string& program, const std::string& config, const std::string& log) {
    const auto failed = [&] { return refuse(message("child.not_started").with("program", program).with("log", log)); };
    int ends[2];
    if (::pipe2(ends, O_CLOEXEC) != 0) return failed();
    posix_spawn_file_actions_t actions;
    posix_spawn_file_actions_init(&actions);
    posix_spawn_file_actions_adddup2(&actions, ends[1], 1);
    posix_spawn_file_actions_addopen(&actions, 2, log.c_str(), O_WRONLY | O_CREAT | O_APPEND, 0644);
    std::string argument = "--config";
    std::string name = program;
    std::string file = config;
    char* arguments[] = {name.data(), argument.data(), file.data(), nullptr};
    pid_t pid = -1;
    const int spawned = ::posix_spawn(&pid, program.c_str(), &actions, nullptr, arguments, environ);
    posix_spawn_file_actions_destroy(&actions);
    ::close(ends[1]);
    if (spawned != 0) {
        ::close(ends[0]);
        return failed();
    }
    Child child(pid, 0);
    // "crimpgated: first start; the one-time code for the first person is XXXXX-XXXXX", perhaps, and then
    // "crimpgated: NAME listens at http://ADDRESS:PORT".
    constexpr std::string_view code_is = "the one-time code for the first person is ";
    std::string line;
    do {
        line = next_line(ends[0]);
        if (const auto at = line.find(code_is); at != std::string::npos)
            child.first_code_ = line.substr(at + code_is.size());
    } while (!line.empty() && line.find(" listens at ") == std::string::npos);
    ::close(ends[0]);
    const auto colon = line.rfind(':');
    if (colon == std::string::npos) return failed();
    const auto [end, error] = std::from_chars(line.data() + colon + 1, line.data() + line.size(), child.port_);
    if (error != std::errc{} || end != line.data() + line.size()) return failed();
    return child;
}

Child::Child(Child&& other) noexcept
    : pid_(std::exchange(other.pid_, -1)), port_(other.port_), first_code_(std::move(other.first_code_)) {}

Child& Child::operator=(Child&& other) noexcept {
    if (this != &other) {
        kill();
        pid_ = std::exchange(other.pid_, -1);
        port_ = other.port_;
        first_code_ = std::move(other.first_code_);
    }
    return *this;
}

Child::~Child() {
    kill();
}

int Child::wait() {
    int status = 0;
    while (::waitpid(pid_, &status, 0) < 0 && errno == EINTR) {
    }
    pid_ = -1;
    return WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
}

void Child::kill() {
    if (pid_ < 0) return;
    ::kill(pid_, SIGKILL);
    wait();
}

int Child::stop() {
    if (pid_ < 0) return 0;
    ::kill(pid_, SIGTERM);
    return wait();
}

pid_t Child::release() {
    return std::exchange(pid_, -1);
}

}  // namespace crimpgate
