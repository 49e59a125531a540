// A disk in memory for SQLite, which loses what was not flushed when its power is cut, and fails on command.
//
// Harsher than most real ones: of the writes since a file's last flush each 512-byte sector arrives or not, as a seed
// says, in any order. What a flush has confirmed is kept. It stands in for the operating system's file layer (an SQLite
// "VFS"), one data base connection at a time.
#pragma once

#include <cstdint>
#include <map>
#include <memory>
#include <string>
#include <vector>

#include <sqlite3.h>

namespace journal_kit {

class FakeDisk {
  public:
    enum class Failure { none, power_cut, full, write_error, flush_error };

    explicit FakeDisk(std::string vfs_name);
    ~FakeDisk();
    FakeDisk(const FakeDisk&) = delete;
    FakeDisk& operator=(const FakeDisk&) = delete;

    // The n-th writing operation from now (1 = the next) fails; after a power cut every further one does, too.
    void fail_at(std::int64_t n, Failure how);
    bool has_failed() const { return failed_; }
    std::int64_t operations() const { return operations_; }

    // The flushed contents of another disk, in place of what is here.
    void take_over(const FakeDisk& other);

    // The power is back: flushed contents, and of the rest what the seed lets through.
    void power_up(std::uint64_t seed);

    // For the functions that SQLite calls.
    struct Write {
        std::int64_t offset = 0;
        std::string bytes;
        std::int64_t truncate_to = -1;  // instead of bytes
    };
    struct File {
        std::string now;
        std::string flushed;
        std::vector<Write> since;
        std::vector<std::unique_ptr<std::string>> shared;  // regions of the write-ahead log's index
    };
    // SQLITE_OK, or what the operation answers instead; `flushes` for a flush.
    int operation(bool flushes);
    File& file(const std::string& name) { return files_[name]; }
    bool exists(const std::string& name) const { return files_.contains(name); }
    void remove(const std::string& name) { files_.erase(name); }

  private:
    sqlite3_vfs vfs_{};
    std::string name_;
    std::map<std::string, File> files_;
    std::int64_t operations_ = 0;
    std::int64_t fail_at_ = -1;
    Failure how_ = Failure::none;
    bool failed_ = false;
};

}  // namespace journal_kit
