#include "station/journal/files.h"

#include <cerrno>
#include <cstdio>
#include <limits>
#include <string>
#include <system_error>
#include <utility>

#include <fcntl.h>
#include <sys/file.h>
#include <sys/statvfs.h>
#include <unistd.h>

namespace crimpgate {
namespace {

tl::unexpected<Message> system_refusal(std::string_view what_failed, const std::filesystem::path& path, int error) {
    return refuse(message("journal.cannot_open")
                      .with("file", path.string())
                      .with("why", std::string(what_failed) + ": " + std::generic_category().message(error)));
}

}  // namespace

Result<LockFile> LockFile::take(const std::filesystem::path& file) {
    const int descriptor = ::open(file.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0644);
    if (descriptor < 0) return system_refusal("open", file, errno);
    LockFile lock(descriptor);
    if (::flock(descriptor, LOCK_EX | LOCK_NB) != 0) {
        if (errno != EWOULDBLOCK) return system_refusal("flock", file, errno);
        char holder[32] = {};
        const auto got = ::pread(descriptor, holder, sizeof holder - 1, 0);
        return refuse(message("journal.in_use")
                          .with("file", file.string())
                          .with("holder", std::string_view(holder, got > 0 ? static_cast<std::size_t>(got) : 0)));
    }
    // For the next one's refusal only: losing it costs nothing, so a full disk is no reason to stop here.
    const std::string me = std::to_string(::getpid());
    if (::ftruncate(descriptor, 0) == 0 && ::pwrite(descriptor, me.data(), me.size(), 0) < 0)
        ::ftruncate(descriptor, 0);
    return lock;
}

LockFile::LockFile(LockFile&& other) noexcept : descriptor_(std::exchange(other.descriptor_, -1)) {}

LockFile& LockFile::operator=(LockFile&& other) noexcept {
    std::swap(descriptor_, other.descriptor_);
    return *this;
}

LockFile::~LockFile() {
    if (descriptor_ >= 0) ::close(descriptor_);
}

Result<void> flush(const std::filesystem::path& path) {
    const int descriptor = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
    if (descriptor < 0) return system_refusal("open", path, errno);
    const int failed = ::fsync(descriptor) == 0 ? 0 : errno;
    ::close(descriptor);
    if (failed != 0) return system_refusal("fsync", path, failed);
    return {};
}

Result<void> rename_new(const std::filesystem::path& from, const std::filesystem::path& to) {
    if (::renameat2(AT_FDCWD, from.c_str(), AT_FDCWD, to.c_str(), RENAME_NOREPLACE) == 0) return {};
    int failed = errno;
    if (failed == EINVAL) {  // a file system that cannot promise it, such as a memory stick's: look, then rename
        failed = std::filesystem::exists(to) ? EEXIST : 0;
        if (failed == 0 && ::rename(from.c_str(), to.c_str()) != 0) failed = errno;
        if (failed == 0) return {};
    }
    if (failed == EEXIST) return refuse(message("backup.exists").with("file", to.string()));
    return system_refusal("rename", to, failed);
}

Result<std::int64_t> free_bytes(const std::filesystem::path& path) {
    struct statvfs disk = {};
    if (::statvfs(path.c_str(), &disk) != 0) return system_refusal("statvfs", path, errno);
    constexpr auto most = static_cast<std::uint64_t>(std::numeric_limits<std::int64_t>::max());
    const std::uint64_t blocks = disk.f_bavail;
    if (disk.f_frsize != 0 && blocks > most / disk.f_frsize) return static_cast<std::int64_t>(most);
    return static_cast<std::int64_t>(blocks * disk.f_frsize);
}

std::filesystem::path unused_name(const std::filesystem::path& file) {
    std::filesystem::path name = file;
    for (int n = 1; std::filesystem::exists(name); ++n)
        name = file.string() + "-" + std::to_string(n);
    return name;
}

}  // namespace crimpgate
