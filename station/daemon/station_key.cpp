#include "station/daemon/station_key.h"

#include <cerrno>
#include <fstream>
#include <iterator>
#include <system_error>

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include "station/journal/files.h"

namespace crimpgate {
namespace {

constexpr std::string_view head = "crimpgate-key-seed/1 ";

tl::unexpected<Message> unreadable(const std::filesystem::path& file, int error) {
    return refuse(message("record.key_unreadable")
                      .with("file", file.string())
                      .with("why", std::generic_category().message(error)));
}

// A descriptor that is closed whatever happens.
struct Descriptor {
    int number = -1;
    ~Descriptor() {
        if (number >= 0) ::close(number);
    }
};

bool write_whole(int descriptor, std::string_view text) {
    while (!text.empty()) {
        const auto written = ::write(descriptor, text.data(), text.size());
        if (written < 0 && errno == EINTR) continue;
        if (written <= 0) return false;
        text.remove_prefix(static_cast<std::size_t>(written));
    }
    return ::fsync(descriptor) == 0;
}

}  // namespace

StationKeys keys_of(const std::string& name, const Seed& seed) {
    Seed tags = tag_seed(seed);
    StationKeys keys{{name, KeyType::ed25519, seed}, {name, KeyType::ed25519, tags}};
    wipe(tags);
    return keys;
}

std::string seed_text(const Seed& seed) {
    return std::string(head) + to_base64(as_text(seed)) + "\n";
}

Result<Seed> read_seed_text(std::string_view text) {
    if (text.starts_with(head) && text.ends_with('\n')) {
        text.remove_prefix(head.size());
        text.remove_suffix(1);
        if (const auto seed = hash_from_base64(text)) return *seed;
    }
    return refuse(message("record.key_malformed"));
}

Result<Seed> read_key_file(const std::filesystem::path& file) {
    const Descriptor in{::open(file.c_str(), O_RDONLY | O_CLOEXEC | O_NOFOLLOW)};
    if (in.number < 0) return unreadable(file, errno);
    struct stat about = {};
    if (::fstat(in.number, &about) != 0) return unreadable(file, errno);
    if ((about.st_mode & 077) != 0) {
        std::string mode;
        for (int shift = 6; shift >= 0; shift -= 3)
            mode += static_cast<char>('0' + (about.st_mode >> shift & 7));
        return refuse(message("record.key_readable").with("file", file.string()).with("mode", mode));
    }
    char bytes[256] = {};
    const auto got = ::read(in.number, bytes, sizeof bytes);
    if (got < 0) return unreadable(file, errno);
    auto seed = read_seed_text(std::string_view(bytes, static_cast<std::size_t>(got)));
    if (!seed) seed.error().with("file", file.string());
    return seed;
}

Result<void> write_key_file(const std::filesystem::path& file, const Seed& seed) {
    // Under another name first: a file that was cut short would be a key that nobody has.
    const std::filesystem::path part = file.string() + ".part";
    ::unlink(part.c_str());
    {
        const Descriptor out{::open(part.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC | O_NOFOLLOW, 0600)};
        if (out.number < 0 || !write_whole(out.number, seed_text(seed))) return unreadable(file, errno);
    }
    if (auto named = rename_new(part, file); !named) {
        ::unlink(part.c_str());
        if (named.error().code == "backup.exists")
            return refuse(message("record.key_exists").with("file", file.string()));
        return named;
    }
    return flush(std::filesystem::absolute(file).parent_path());
}

Result<OpenedKeys> open_station_keys(const std::filesystem::path& file, const std::string& name,
                                     const std::vector<StationKey>& known) {
    std::error_code unimportant;
    if (!std::filesystem::exists(std::filesystem::symlink_status(file, unimportant))) {
        if (!known.empty())
            return refuse(message("record.key_missing").with("file", file.string()).with("key", known.back().key));
        Seed made = new_seed();
        auto written = write_key_file(file, made);
        wipe(made);
        if (!written) return refuse(std::move(written.error()));
    }
    auto seed = read_key_file(file);
    if (!seed) return refuse(std::move(seed.error()));
    // A key keeps the name that it was made under: the configuration's counts for a new one.
    OpenedKeys opened{keys_of(known.empty() ? name : known.back().name, *seed), known.empty()};
    wipe(*seed);
    const std::string found = opened.keys.checkpoints.verifier().text();
    if (!known.empty() && known.back().key != found)
        return refuse(message("record.other_key")
                          .with("file", file.string())
                          .with("found", found)
                          .with("wanted", known.back().key));
    return opened;
}

}  // namespace crimpgate
