#include "drivers/serial_port.h"

#include <fcntl.h>
#include <poll.h>
#include <sys/file.h>
#include <sys/ioctl.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <termios.h>

#include <array>
#include <chrono>
#include <filesystem>
#include <fstream>
#include <functional>
#include <thread>

#include "drivers/port_holder.h"
#include "drivers/pty.h"
#include "tests/support/catch.h"

using namespace crimpgate;
namespace fs = std::filesystem;

namespace {

std::string temporary(const std::string& name) {
    return (fs::temp_directory_path() / ("crimpgate-port-" + std::to_string(getpid()) + "-" + name)).string();
}

// What arrives within the time, or nothing.
std::string read_within(int fd, int ms) {
    pollfd p{fd, POLLIN, 0};
    if (poll(&p, 1, ms) <= 0) return {};
    std::array<char, 256> buffer{};
    const ssize_t n = read(fd, buffer.data(), buffer.size());
    return n > 0 ? std::string(buffer.data(), static_cast<std::size_t>(n)) : std::string();
}

bool until(const std::function<bool()>& done) {
    const auto end = std::chrono::steady_clock::now() + std::chrono::seconds(60);
    while (!done()) {
        if (std::chrono::steady_clock::now() > end) return false;
        std::this_thread::sleep_for(std::chrono::milliseconds(2));
    }
    return true;
}

// Another program: holds the port in a process of its own until the test lets go.
class OtherProgram {
  public:
    explicit OtherProgram(const std::function<void()>& takes_the_port) {
        std::array<int, 2> ready{};
        std::array<int, 2> go{};
        REQUIRE(pipe(ready.data()) == 0);
        REQUIRE(pipe(go.data()) == 0);
        pid_ = fork();
        if (pid_ == 0) {
            close(go[1]);
            takes_the_port();
            char byte = 1;
            if (write(ready[1], &byte, 1) == 1) static_cast<void>(read(go[0], &byte, 1) == 1);
            _exit(0);
        }
        close(ready[1]);
        close(go[0]);
        go_ = OwnedFd(go[1]);
        char byte = 0;
        REQUIRE(read(ready[0], &byte, 1) == 1);
        close(ready[0]);
    }
    ~OtherProgram() {
        go_.close();
        waitpid(pid_, nullptr, 0);
    }
    OtherProgram(const OtherProgram&) = delete;
    OtherProgram& operator=(const OtherProgram&) = delete;
    pid_t pid() const { return pid_; }

  private:
    pid_t pid_ = -1;
    OwnedFd go_;
};

std::string own_program() {
    std::ifstream comm("/proc/self/comm");
    std::string name;
    std::getline(comm, name);
    return name;
}

termios mode_of(int fd) {
    termios mode{};
    REQUIRE(tcgetattr(fd, &mode) == 0);
    return mode;
}

}  // namespace

TEST_CASE("A port that is opened passes every byte value through unchanged") {
    auto pty = Pty::open();
    REQUIRE(pty);
    auto port = open_serial_port(pty->device(), LineSettings{});
    REQUIRE(port);
    std::string all;
    for (int byte = 0; byte < 256; ++byte)
        all.push_back(static_cast<char>(byte));
    REQUIRE(pty->write(all));
    std::string got;
    while (got.size() < all.size()) {
        const std::string more = read_within(port->fd.get(), 60'000);
        if (more.empty()) break;
        got += more;
    }
    CHECK(got == all);                              // 0x0D, 0x11 and 0x13 among them
    CHECK(read_within(pty->master(), 30).empty());  // and nothing is echoed to the gauge
}

TEST_CASE("A terminal that was left in a talkative mode is set to raw") {
    auto pty = Pty::open();
    REQUIRE(pty);
    {
        const OwnedFd careless(open(pty->device().c_str(), O_RDWR | O_NOCTTY));
        termios mode = mode_of(careless.get());
        mode.c_lflag |= ICANON | ECHO | ISIG | IEXTEN;
        mode.c_iflag |= ICRNL | IXON | ISTRIP;
        mode.c_oflag |= OPOST | ONLCR;
        REQUIRE(tcsetattr(careless.get(), TCSANOW, &mode) == 0);
    }
    auto port = open_serial_port(pty->device(), LineSettings{});
    REQUIRE(port);
    const termios mode = mode_of(port->fd.get());
    CHECK(mode.c_lflag == 0);
    CHECK(mode.c_iflag == INPCK);
    CHECK(mode.c_oflag == 0);
    CHECK((mode.c_cflag & CSIZE) == CS8);
    CHECK((mode.c_cflag & HUPCL) == 0);  // closing leaves DTR alone
    CHECK(cfgetispeed(&mode) == B9600);
    CHECK((fcntl(port->fd.get(), F_GETFD) & FD_CLOEXEC) != 0);
}

TEST_CASE("The line's speed and stop bits are those of the profile") {
    auto pty = Pty::open();
    REQUIRE(pty);
    LineSettings line;
    line.baud = 4800;
    line.stop_bits = 2;
    auto port = open_serial_port(pty->device(), line);
    REQUIRE(port);
    const termios mode = mode_of(port->fd.get());
    CHECK(cfgetospeed(&mode) == B4800);
    CHECK((mode.c_cflag & CSTOPB) != 0);
}

TEST_CASE("A pseudo-terminal notes what it does not know, and takes the rest") {
    auto pty = Pty::open();
    REQUIRE(pty);
    LineSettings line;
    line.data_bits = 7;
    line.parity = Parity::even;
    line.baud = 2400;
    auto port = open_serial_port(pty->device(), line);
    REQUIRE(port);
    CHECK(port->pseudo_terminal);
    std::vector<std::string> settings;
    for (const Message& note : port->notes) {
        CHECK(note.code == "port.pty_takes_no");
        settings.emplace_back(note.detail("setting"));
    }
    CHECK(settings == std::vector<std::string>{"data bits", "parity", "DTR", "RTS"});
    const termios mode = mode_of(port->fd.get());
    CHECK(cfgetospeed(&mode) == B2400);
    CHECK(mode.c_lflag == 0);
}

TEST_CASE("R8: bytes from before the port was opened are nobody's reading") {
    auto pty = Pty::open();
    REQUIRE(pty);
    REQUIRE(pty->write("01A+0012.34\r"));  // pressed while nobody listened
    REQUIRE(until([&] { return pty->waiting() == 12; }));
    auto port = open_serial_port(pty->device(), LineSettings{});
    REQUIRE(port);
    CHECK(read_within(port->fd.get(), 50).empty());
    REQUIRE(pty->write("01A+0025.48\r"));
    CHECK(read_within(port->fd.get(), 60'000) == "01A+0025.48\r");
}

TEST_CASE("A port that another program has locked is refused by that program's name and left as it is") {
    auto pty = Pty::open();
    REQUIRE(pty);
    const OtherProgram other([&] {
        const int fd = open(pty->device().c_str(), O_RDWR | O_NOCTTY);
        flock(fd, LOCK_EX);
        termios mode{};
        tcgetattr(fd, &mode);
        cfsetispeed(&mode, B1200);
        cfsetospeed(&mode, B1200);
        tcsetattr(fd, TCSANOW, &mode);
    });
    const auto port = open_serial_port(pty->device(), LineSettings{});
    REQUIRE_FALSE(port);
    CHECK(port.error().code == "port.in_use");
    CHECK(port.error().detail("path") == pty->device());
    CHECK(port.error().detail("program") == own_program());
    CHECK(port.error().detail("pid") == std::to_string(other.pid()));
    const OwnedFd look(open(pty->device().c_str(), O_RDWR | O_NOCTTY));
    const termios mode = mode_of(look.get());
    CHECK(cfgetospeed(&mode) == B1200);  // the lock was asked for before anything was set
}

TEST_CASE("Our own lock keeps a second opener out for as long as the port is open") {
    auto pty = Pty::open();
    REQUIRE(pty);
    {
        auto first = open_serial_port(pty->device(), LineSettings{});
        REQUIRE(first);
        const auto second = open_serial_port(pty->device(), LineSettings{});
        REQUIRE_FALSE(second);
        CHECK(second.error().code == "port.in_use");
    }
    CHECK(open_serial_port(pty->device(), LineSettings{}));
}

TEST_CASE("A program that opens the port without locking it can still be named") {
    auto pty = Pty::open();
    REQUIRE(pty);
    CHECK_FALSE(open_elsewhere(pty->device()));
    const OtherProgram other([&] { static_cast<void>(open(pty->device().c_str(), O_RDWR | O_NOCTTY)); });
    const auto holder = open_elsewhere(pty->device());
    REQUIRE(holder);
    CHECK(holder->pid == other.pid());
    CHECK(holder->program == own_program());
}

TEST_CASE("A missing port, a file and a rate that nobody has are each refused by name") {
    const std::string nowhere = temporary("nowhere");
    auto port = open_serial_port(nowhere, LineSettings{});
    REQUIRE_FALSE(port);
    CHECK(port.error().code == "port.missing");
    CHECK(port.error().detail("path") == nowhere);

    port = open_serial_port("/dev/null", LineSettings{});
    REQUIRE_FALSE(port);
    CHECK(port.error().code == "port.not_a_port");

    auto pty = Pty::open();
    REQUIRE(pty);
    LineSettings odd;
    odd.baud = 12345;
    port = open_serial_port(pty->device(), odd);
    REQUIRE_FALSE(port);
    CHECK(port.error().code == "port.baud_unknown");
    CHECK(port.error().detail("baud") == "12345");
}

TEST_CASE("A port that crimpgate may not open is refused with its owner and group") {
    auto pty = Pty::open();
    REQUIRE(pty);
    REQUIRE(chmod(pty->device().c_str(), 0) == 0);
    // Root may open anything, so the attempt is made by a process that has become nobody.
    std::array<int, 2> answer{};
    REQUIRE(pipe(answer.data()) == 0);
    const pid_t pid = fork();
    if (pid == 0) {
        if (geteuid() == 0 && (setgid(65534) != 0 || setuid(65534) != 0)) _exit(1);
        const auto port = open_serial_port(pty->device(), LineSettings{});
        const std::string said = port ? "opened"
                                      : port.error().code + ' ' + std::string(port.error().detail("owner")) + ' ' +
                                            std::string(port.error().detail("mode"));
        _exit(write(answer[1], said.data(), said.size()) == static_cast<ssize_t>(said.size()) ? 0 : 1);
    }
    close(answer[1]);
    const std::string said = read_within(answer[0], 60'000);
    close(answer[0]);
    waitpid(pid, nullptr, 0);
    const std::string owner = geteuid() == 0 ? "root" : std::string(getenv("USER") ? getenv("USER") : "");
    CHECK_THAT(said, cqt::contains("port.no_permission " + owner));
    CHECK_THAT(said, cqt::contains("---------"));
}

TEST_CASE("The stable link goes with the pseudo-terminal and never replaces a file") {
    const std::string link = temporary("link");
    {
        auto first = Pty::open(link);
        REQUIRE(first);
        CHECK(fs::read_symlink(link) == first->device());
        auto second = Pty::open(link);  // plugged in again before the old one is gone
        REQUIRE(second);
        CHECK(fs::read_symlink(link) == second->device());
        first = Pty::open();
        CHECK(fs::read_symlink(link) == second->device());  // the old one's end takes no foreign link away
    }
    CHECK_FALSE(fs::exists(fs::symlink_status(link)));

    std::ofstream(link) << "a person's file";
    const auto refused = Pty::open(link);
    REQUIRE_FALSE(refused);
    CHECK(refused.error().code == "pty.link_taken");
    CHECK(fs::file_size(link) == 15);
    fs::remove(link);
}

TEST_CASE("Line settings are told in the trade's short form") {
    LineSettings line;
    line.baud = 4800;
    line.data_bits = 7;
    line.parity = Parity::even;
    line.stop_bits = 2;
    line.rts = false;
    CHECK(describe(line) == "4800 7E2, no flow control, DTR on, RTS off");
}
