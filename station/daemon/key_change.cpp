#include "station/daemon/key_change.h"

#include <cerrno>
#include <system_error>

#include <unistd.h>

#include "station/journal/files.h"
#include "station/proof/key_handover.h"

namespace crimpgate {
namespace {

// A secret that is wiped whatever happens.
struct Held {
    Seed seed{};
    ~Held() { wipe(seed); }
};

tl::unexpected<Message> not_placed(const std::filesystem::path& file, int error) {
    return refuse(message("record.key_not_placed")
                      .with("file", file.string())
                      .with("why", std::generic_category().message(error)));
}

// A second name for the old file first: at no moment is there no key.
Result<void> put_in_place(const std::filesystem::path& file, const VerifierKey* old) {
    if (old != nullptr) {
        const std::string aside = file.string() + "." + to_hex(as_text(old->id())) + ".old";
        if (::link(file.c_str(), aside.c_str()) != 0 && errno != EEXIST) return not_placed(file, errno);
    }
    if (::rename(next_key_file(file).c_str(), file.c_str()) != 0) return not_placed(file, errno);
    return flush(std::filesystem::absolute(file).parent_path());
}

}  // namespace

std::filesystem::path next_key_file(const std::filesystem::path& file) {
    return file.string() + ".next";
}

Result<void> finish_key_change(const std::filesystem::path& file, const std::vector<StationKey>& known) {
    std::error_code unimportant;
    if (known.empty() || !std::filesystem::exists(std::filesystem::symlink_status(next_key_file(file), unimportant)))
        return {};
    Held next;
    auto read = read_key_file(next_key_file(file));
    if (!read) return {};  // cut short in step 1: the journal cannot know it
    next.seed = *read;
    wipe(*read);
    if (keys_of(known.back().name, next.seed).checkpoints.verifier().text() != known.back().key) return {};
    if (!std::filesystem::exists(std::filesystem::symlink_status(file, unimportant)))
        return put_in_place(file, nullptr);
    const auto old = known.size() > 1 ? parse_verifier_key(known[known.size() - 2].key)
                                      : Result<VerifierKey>(refuse(message("record.key_malformed")));
    return put_in_place(file, old ? &*old : nullptr);
}

KeyKeeper::KeyKeeper(Desk& desk, StationKeys& keys, std::filesystem::path file)
    : desk_(desk), keys_(keys), file_(std::move(file)) {}

KeyChange KeyKeeper::hand_over(const std::string& reason, const std::string& who) {
    const VerifierKey old = keys_.checkpoints.verifier();
    ::unlink(next_key_file(file_).c_str());  // of one that was begun and never told
    Held next;
    next.seed = new_seed();
    if (auto written = write_key_file(next_key_file(file_), next.seed); !written) return {written.error(), {}};
    StationKeys keys = keys_of(old.name, next.seed);
    entries::KeyHandedOver handed;
    handed.name = old.name;
    handed.old_key = old.text();
    handed.key = keys.checkpoints.verifier().text();
    handed.tag_key = keys.tag_key_text();
    handed.statement = sign_hand_over({keys.checkpoints.verifier(), keys.tags.verifier().key}, keys_.checkpoints);
    handed.reason = reason;
    // What was refused may still have reached the disk when the disk is what failed: the file stays for the next start.
    const commands::HandOverKey command{std::move(handed)};
    if (const auto ran = desk_.run(command, who); ran.refusal) return {ran.refusal, {}};
    keys_ = keys;
    if (auto placed = put_in_place(file_, &old); !placed) return {{}, placed.error()};
    return {};
}

Result<Seed> KeyKeeper::seed() const {
    auto seed = read_key_file(file_);
    if (!seed) return seed;
    const std::string found = keys_of(keys_.checkpoints.verifier().name, *seed).checkpoints.verifier().text();
    const std::string wanted = keys_.checkpoints.verifier().text();
    if (found == wanted) return seed;
    wipe(*seed);
    return refuse(message("record.other_key").with("file", file_.string()).with("found", found).with("wanted", wanted));
}

}  // namespace crimpgate
