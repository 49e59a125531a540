#include "drivers/serial_port.h"

#include <fcntl.h>
#include <grp.h>
#include <pwd.h>
#include <sys/file.h>
#include <sys/ioctl.h>
#include <sys/stat.h>
#include <sys/sysmacros.h>
#include <termios.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <optional>
#include <system_error>

#include "drivers/port_holder.h"

namespace crimpgate {

namespace {

std::string reason_of(int error) {
    return std::generic_category().message(error);
}

Message failed(const std::string& path, std::string_view step) {
    return message("port.failed").with("path", path).with("step", step).with("reason", reason_of(errno));
}

Message in_use(const std::string& path, const std::optional<PortHolder>& by) {
    if (!by) return message("port.in_use_by_unknown").with("path", path);
    return message("port.in_use").with("path", path).with("program", by->program).with("pid", std::to_string(by->pid));
}

Message no_permission(const std::string& path) {
    struct stat st {};
    if (stat(path.c_str(), &st) != 0) return failed(path, "stat");
    const passwd* const owner = getpwuid(st.st_uid);
    const group* const owning = getgrgid(st.st_gid);
    std::string mode = "rwxrwxrwx";
    for (std::size_t i = 0; i < mode.size(); ++i)
        if ((st.st_mode & (1U << (mode.size() - 1 - i))) == 0) mode[i] = '-';
    return message("port.no_permission")
        .with("path", path)
        .with("owner", owner ? owner->pw_name : std::to_string(st.st_uid))
        .with("group", owning ? owning->gr_name : std::to_string(st.st_gid))
        .with("mode", mode);
}

Message could_not_open(const std::string& path) {
    switch (errno) {
        case ENOENT:
        case ENXIO:
        case ENODEV:
        case EIO:  // the node is still there, the device is not
            return message("port.missing").with("path", path);
        case EACCES:
        case EPERM:
            return no_permission(path);
        case EBUSY:
            return in_use(path, open_elsewhere(path));
        default:
            return failed(path, "open");
    }
}

// Majors 136 to 143 are the far sides of Unix98 pseudo-terminals (Linux, Documentation/admin-guide/devices.txt).
bool is_pseudo_terminal(const struct stat& st) {
    return major(st.st_rdev) >= 136 && major(st.st_rdev) <= 143;
}

std::optional<speed_t> speed_of(int baud) {
    struct Row {
        int baud;
        speed_t speed;
    };
    static constexpr std::array<Row, 16> rows{{{300, B300},
                                               {600, B600},
                                               {1200, B1200},
                                               {1800, B1800},
                                               {2400, B2400},
                                               {4800, B4800},
                                               {9600, B9600},
                                               {19200, B19200},
                                               {38400, B38400},
                                               {57600, B57600},
                                               {115200, B115200},
                                               {230400, B230400},
                                               {460800, B460800},
                                               {500000, B500000},
                                               {576000, B576000},
                                               {921600, B921600}}};
    const auto row = std::find_if(rows.begin(), rows.end(), [&](const Row& r) { return r.baud == baud; });
    return row == rows.end() ? std::nullopt : std::optional(row->speed);
}

// The whole mode, nothing left as it was found.
termios mode_of(const LineSettings& line, speed_t speed) {
    termios mode{};
    cfmakeraw(&mode);
    // With INPCK a byte with a parity or framing error reads as NUL: it spoils its frame instead of passing for a
    // digit.
    mode.c_iflag = INPCK;
    if (line.flow == FlowControl::xon_xoff) mode.c_iflag |= IXON | IXOFF;
    mode.c_cflag = CREAD | CLOCAL;  // CLOCAL: no carrier needed; no HUPCL: closing leaves DTR and RTS alone
    switch (line.data_bits) {
        case 5:
            mode.c_cflag |= CS5;
            break;
        case 6:
            mode.c_cflag |= CS6;
            break;
        case 7:
            mode.c_cflag |= CS7;
            break;
        default:
            mode.c_cflag |= CS8;
            break;
    }
    if (line.stop_bits == 2) mode.c_cflag |= CSTOPB;
    if (line.parity != Parity::none) mode.c_cflag |= PARENB;
    if (line.parity == Parity::odd) mode.c_cflag |= PARODD;
    if (line.flow == FlowControl::rts_cts) mode.c_cflag |= CRTSCTS;
    mode.c_cc[VMIN] = 1;
    mode.c_cc[VTIME] = 0;
    mode.c_cc[VSTART] = 0x11;
    mode.c_cc[VSTOP] = 0x13;
    cfsetispeed(&mode, speed);
    cfsetospeed(&mode, speed);
    return mode;
}

// The settings in which `got` differs from `asked`, in words.
std::vector<std::string> differences(const termios& asked, const termios& got) {
    std::vector<std::string> list;
    const auto compare = [&](tcflag_t mask, std::string_view name) {
        if (((asked.c_cflag ^ got.c_cflag) & mask) != 0) list.emplace_back(name);
    };
    if (cfgetospeed(&asked) != cfgetospeed(&got) || cfgetispeed(&asked) != cfgetispeed(&got)) list.emplace_back("baud");
    compare(CSIZE, "data bits");
    compare(PARENB | PARODD, "parity");
    compare(CSTOPB, "stop bits");
    compare(CRTSCTS, "RTS/CTS flow control");
    compare(CREAD | CLOCAL | HUPCL, "modem control");
    if (asked.c_iflag != got.c_iflag || asked.c_oflag != got.c_oflag || asked.c_lflag != got.c_lflag ||
        asked.c_cc[VMIN] != got.c_cc[VMIN] || asked.c_cc[VTIME] != got.c_cc[VTIME])
        list.emplace_back("raw mode");
    return list;
}

Result<void> set_mode(const std::string& path, const LineSettings& line, OpenedPort& port) {
    const auto speed = speed_of(line.baud);
    if (!speed) return refuse(message("port.baud_unknown").with("path", path).with("baud", std::to_string(line.baud)));
    termios asked = mode_of(line, *speed);
    termios got{};
    // tcsetattr succeeds when any one of the settings took, and a pseudo-terminal refuses the whole for a parity.
    bool set = tcsetattr(port.fd.get(), TCSANOW, &asked) == 0;
    if (!set && port.pseudo_terminal) {
        LineSettings plain = line;
        plain.data_bits = 8;
        plain.parity = Parity::none;
        termios fallback = mode_of(plain, *speed);
        set = tcsetattr(port.fd.get(), TCSANOW, &fallback) == 0;
    }
    if (!set || tcgetattr(port.fd.get(), &got) != 0) return refuse(failed(path, "tcsetattr"));
    for (const std::string& setting : differences(asked, got)) {
        if (!port.pseudo_terminal || setting == "raw mode")
            return refuse(message("port.settings_refused")
                              .with("path", path)
                              .with("setting", setting)
                              .with("line", describe(line)));
        port.notes.push_back(message("port.pty_takes_no").with("path", path).with("setting", setting));
    }
    return {};
}

Result<void> set_modem_line(const std::string& path, OpenedPort& port, int bit, bool on, std::string_view name) {
    if (ioctl(port.fd.get(), on ? TIOCMBIS : TIOCMBIC, &bit) == 0) return {};
    if (port.pseudo_terminal && (errno == ENOTTY || errno == EINVAL)) {
        port.notes.push_back(message("port.pty_takes_no").with("path", path).with("setting", name));
        return {};
    }
    return refuse(
        message("port.settings_refused").with("path", path).with("setting", name).with("line", reason_of(errno)));
}

}  // namespace

Result<OpenedPort> open_serial_port(const std::string& path, const LineSettings& line) {
    OpenedPort port;
    port.fd = OwnedFd(::open(path.c_str(), O_RDWR | O_NOCTTY | O_NONBLOCK | O_CLOEXEC));
    if (!port.fd) return refuse(could_not_open(path));

    struct stat st {};
    if (fstat(port.fd.get(), &st) != 0) return refuse(failed(path, "fstat"));
    if (!S_ISCHR(st.st_mode) || isatty(port.fd.get()) == 0)
        return refuse(message("port.not_a_port").with("path", path));
    port.pseudo_terminal = is_pseudo_terminal(st);

    if (flock(port.fd.get(), LOCK_EX | LOCK_NB) != 0) {
        if (errno == EWOULDBLOCK) return refuse(in_use(path, lock_holder(port.fd.get())));
        return refuse(failed(path, "flock"));
    }
    // On a pseudo-terminal the mark stays as long as the other side is open, so after a crash of ours it would lock us
    // out (measured: EBUSY for everybody but root).
    if (!port.pseudo_terminal && ioctl(port.fd.get(), TIOCEXCL) != 0) return refuse(failed(path, "TIOCEXCL"));

    if (auto set = set_mode(path, line, port); !set) return refuse(set.error());
    if (auto set = set_modem_line(path, port, TIOCM_DTR, line.dtr, "DTR"); !set) return refuse(set.error());
    if (line.flow != FlowControl::rts_cts)  // there the port itself moves RTS
        if (auto set = set_modem_line(path, port, TIOCM_RTS, line.rts, "RTS"); !set) return refuse(set.error());
    if (tcflush(port.fd.get(), TCIOFLUSH) != 0) return refuse(failed(path, "tcflush"));
    return port;
}

void give_up_serial_port(int fd) {
    ioctl(fd, TIOCNXCL);
}

std::string describe(const LineSettings& line) {
    const auto on = [](bool level) { return level ? " on" : " off"; };
    std::string text = std::to_string(line.baud) + ' ' + std::to_string(line.data_bits);
    text += line.parity == Parity::none ? 'N' : line.parity == Parity::even ? 'E' : 'O';
    text += std::to_string(line.stop_bits);
    text += line.flow == FlowControl::none      ? ", no flow control"
            : line.flow == FlowControl::rts_cts ? ", RTS/CTS"
                                                : ", XON/XOFF";
    return text + ", DTR" + on(line.dtr) + ", RTS" + on(line.rts);
}

}  // namespace crimpgate
