#include "tests/station/fake_disk.h"

#include <algorithm>
#include <cstring>
#include <new>
#include <random>

namespace journal_kit {
namespace {

constexpr std::size_t sector = 512;

struct Handle {
    sqlite3_file base;
    FakeDisk* disk;
    FakeDisk::File* file;
};

Handle& of(sqlite3_file* file) {
    return *reinterpret_cast<Handle*>(file);
}

FakeDisk& of(sqlite3_vfs* vfs) {
    return *static_cast<FakeDisk*>(vfs->pAppData);
}

void put(std::string& into, const FakeDisk::Write& write) {
    if (write.truncate_to >= 0) {
        into.resize(static_cast<std::size_t>(write.truncate_to));
        return;
    }
    const auto end = static_cast<std::size_t>(write.offset) + write.bytes.size();
    if (into.size() < end) into.resize(end);
    into.replace(static_cast<std::size_t>(write.offset), write.bytes.size(), write.bytes);
}

int close(sqlite3_file*) {
    return SQLITE_OK;
}

int read(sqlite3_file* f, void* out, int count, sqlite3_int64 offset) {
    const auto& now = of(f).file->now;
    const auto from = std::min(static_cast<std::size_t>(offset), now.size());
    const auto got = std::min(static_cast<std::size_t>(count), now.size() - from);
    std::memcpy(out, now.data() + from, got);
    if (got == static_cast<std::size_t>(count)) return SQLITE_OK;
    std::memset(static_cast<char*>(out) + got, 0, static_cast<std::size_t>(count) - got);
    return SQLITE_IOERR_SHORT_READ;
}

int change(sqlite3_file* f, FakeDisk::Write write) {
    Handle& handle = of(f);
    if (const int refused = handle.disk->operation(false); refused != SQLITE_OK) return refused;
    put(handle.file->now, write);
    handle.file->since.push_back(std::move(write));
    return SQLITE_OK;
}

int write(sqlite3_file* f, const void* bytes, int count, sqlite3_int64 offset) {
    return change(f, {offset, std::string(static_cast<const char*>(bytes), static_cast<std::size_t>(count)), -1});
}

int truncate(sqlite3_file* f, sqlite3_int64 size) {
    return change(f, {0, {}, size});
}

int sync(sqlite3_file* f, int) {
    Handle& handle = of(f);
    if (const int refused = handle.disk->operation(true); refused != SQLITE_OK) return refused;
    handle.file->flushed = handle.file->now;
    handle.file->since.clear();
    return SQLITE_OK;
}

int file_size(sqlite3_file* f, sqlite3_int64* size) {
    *size = static_cast<sqlite3_int64>(of(f).file->now.size());
    return SQLITE_OK;
}

int lock(sqlite3_file*, int) {
    return SQLITE_OK;
}

int check_lock(sqlite3_file*, int* held) {
    *held = 0;
    return SQLITE_OK;
}

int control(sqlite3_file*, int, void*) {
    return SQLITE_NOTFOUND;
}

int sector_size(sqlite3_file*) {
    return static_cast<int>(sector);
}

int characteristics(sqlite3_file*) {
    return 0;  // promises nothing
}

int shared_map(sqlite3_file* f, int region, int size, int, void volatile** out) {
    auto& shared = of(f).file->shared;
    while (shared.size() <= static_cast<std::size_t>(region))
        shared.push_back(std::make_unique<std::string>(static_cast<std::size_t>(size), '\0'));
    *out = shared[static_cast<std::size_t>(region)]->data();
    return SQLITE_OK;
}

int shared_lock(sqlite3_file*, int, int, int) {
    return SQLITE_OK;
}

void shared_barrier(sqlite3_file*) {}

int shared_unmap(sqlite3_file* f, int) {
    of(f).file->shared.clear();
    return SQLITE_OK;
}

const sqlite3_io_methods methods = {
    2,          close,   read,        write,           truncate,   sync,        file_size,      lock,         lock,
    check_lock, control, sector_size, characteristics, shared_map, shared_lock, shared_barrier, shared_unmap, nullptr,
    nullptr};

int open(sqlite3_vfs* vfs, const char* name, sqlite3_file* f, int, int* out_flags) {
    static int temporary = 0;
    auto* handle = new (f) Handle{};
    handle->disk = &of(vfs);
    handle->file = &handle->disk->file(name != nullptr ? name : "temporary-" + std::to_string(++temporary));
    handle->base.pMethods = &methods;
    if (out_flags != nullptr) *out_flags = SQLITE_OPEN_READWRITE;
    return SQLITE_OK;
}

int remove(sqlite3_vfs* vfs, const char* name, int) {
    if (const int refused = of(vfs).operation(false); refused != SQLITE_OK) return refused;
    of(vfs).remove(name);
    return SQLITE_OK;
}

int access(sqlite3_vfs* vfs, const char* name, int, int* out) {
    *out = of(vfs).exists(name) ? 1 : 0;
    return SQLITE_OK;
}

int full_path(sqlite3_vfs*, const char* name, int size, char* out) {
    sqlite3_snprintf(size, out, "%s", name);
    return SQLITE_OK;
}

}  // namespace

FakeDisk::FakeDisk(std::string vfs_name) : name_(std::move(vfs_name)) {
    vfs_ = *sqlite3_vfs_find(nullptr);  // time, chance and sleep stay the machine's
    vfs_.iVersion = 1;
    vfs_.szOsFile = sizeof(Handle);
    vfs_.pNext = nullptr;
    vfs_.zName = name_.c_str();
    vfs_.pAppData = this;
    vfs_.xOpen = open;
    vfs_.xDelete = journal_kit::remove;
    vfs_.xAccess = access;
    vfs_.xFullPathname = full_path;
    sqlite3_vfs_register(&vfs_, 0);
}

FakeDisk::~FakeDisk() {
    sqlite3_vfs_unregister(&vfs_);
}

void FakeDisk::fail_at(std::int64_t n, Failure how) {
    fail_at_ = operations_ + n;
    how_ = how;
    failed_ = false;
}

int FakeDisk::operation(bool flushes) {
    ++operations_;
    if (failed_ && how_ == Failure::power_cut) return SQLITE_IOERR;
    if (how_ == Failure::none || failed_ || operations_ < fail_at_) return SQLITE_OK;
    // A failure of one kind waits for the next operation of that kind.
    if (how_ == Failure::flush_error && !flushes) return SQLITE_OK;
    if ((how_ == Failure::full || how_ == Failure::write_error) && flushes) return SQLITE_OK;
    failed_ = true;
    switch (how_) {
        case Failure::full:
            return SQLITE_FULL;
        case Failure::write_error:
            return SQLITE_IOERR_WRITE;
        case Failure::flush_error:
            return SQLITE_IOERR_FSYNC;
        default:
            return SQLITE_IOERR;
    }
}

void FakeDisk::take_over(const FakeDisk& other) {
    files_.clear();
    for (const auto& [name, file] : other.files_) {
        File& copy = files_[name];
        copy.now = copy.flushed = file.flushed;
    }
}

void FakeDisk::power_up(std::uint64_t seed) {
    std::mt19937_64 chance(seed);
    for (auto& [name, file] : files_) {
        std::string kept = file.flushed;
        for (const Write& write : file.since) {
            if (write.truncate_to >= 0) {
                if (chance() % 2 == 0) put(kept, write);
                continue;
            }
            for (std::size_t at = 0; at < write.bytes.size(); at += sector)
                if (chance() % 2 == 0)
                    put(kept, {write.offset + static_cast<std::int64_t>(at), write.bytes.substr(at, sector), -1});
        }
        file.now = file.flushed = std::move(kept);
        file.since.clear();
        file.shared.clear();
    }
    how_ = Failure::none;
    failed_ = false;
}

}  // namespace journal_kit
