// The journal's dealings with the file system beside SQLite: the writer's lock, flushing, room on the disk.
#pragma once

#include <cstdint>
#include <filesystem>

#include "specs/message.h"

namespace crimpgate {

// Holds an exclusive flock on a file for as long as it lives. The kernel lets go when the process ends, however it
// ends.
class LockFile {
  public:
    // Refused with "journal.in_use" (holder: the process that has it) or "journal.cannot_open".
    static Result<LockFile> take(const std::filesystem::path& file);
    LockFile(LockFile&& other) noexcept;
    LockFile& operator=(LockFile&& other) noexcept;
    ~LockFile();

  private:
    explicit LockFile(int descriptor) : descriptor_(descriptor) {}
    int descriptor_;
};

// Flushes a file's, or a directory's, contents to the disk.
Result<void> flush(const std::filesystem::path& path);

// Renames without ever replacing a file that is there ("backup.exists").
Result<void> rename_new(const std::filesystem::path& from, const std::filesystem::path& to);

// Bytes that this user may still write on the disk that holds `path`.
Result<std::int64_t> free_bytes(const std::filesystem::path& path);

// `file` with "-1", "-2", ... behind it when there already is one.
std::filesystem::path unused_name(const std::filesystem::path& file);

}  // namespace crimpgate
