#include "station/daemon/checkpoint_signer.h"

#include <fstream>
#include <iterator>
#include <system_error>

#include "station/journal/files.h"
#include "station/proof/checkpoint.h"

namespace crimpgate {
namespace {

constexpr std::int64_t hour_ns = 3'600'000'000'000;

tl::unexpected<Message> not_extending(const std::string& where, std::int64_t size, std::int64_t entries) {
    return refuse(message("record.not_extending")
                      .with("where", where)
                      .with("size", std::to_string(size))
                      .with("entries", std::to_string(entries)));
}

std::optional<std::string> text_of(const std::filesystem::path& file) {
    std::ifstream in(file, std::ios::binary);
    if (!in) return std::nullopt;
    return std::string((std::istreambuf_iterator<char>(in)), {});
}

// A whole file or none: another name first, flushed, then renamed over what is there.
Result<void> put(const std::filesystem::path& file, const std::string& text) {
    const std::filesystem::path part = file.string() + ".part";
    {
        std::ofstream out(part, std::ios::binary | std::ios::trunc);
        out << text;
        out.flush();
        if (!out) return refuse(message("record.checkpoint_not_written").with("file", file.string()));
    }
    if (auto flushed = flush(part); !flushed) return flushed;
    std::error_code error;
    std::filesystem::rename(part, file, error);
    if (error) return refuse(message("record.checkpoint_not_written").with("file", file.string()));
    return flush(file.parent_path());
}

}  // namespace

CheckpointSigner::CheckpointSigner(Desk& desk, Journal& journal, const Clock& clock, const SigningKey& key,
                                   Settings settings)
    : desk_(desk),
      journal_(journal),
      clock_(clock),
      key_(key),
      settings_(std::move(settings)),
      last_mono_ns_(clock.mono_ns()) {}

Result<void> CheckpointSigner::extends(const std::string& note, const std::string& where,
                                       const std::vector<StationKey>& keys) const {
    std::optional<Checkpoint> head;
    for (const auto& known : keys) {
        const auto key = parse_verifier_key(known.key);
        if (!key) continue;
        if (const auto opened = open_checkpoint(note, *key)) head = opened->checkpoint;
    }
    if (!head) return refuse(message("record.foreign_checkpoint").with("where", where));
    const auto entries = journal_.last_seq();
    if (!entries) return refuse(entries.error());
    if (head->size > *entries) return not_extending(where, head->size, *entries);
    const auto root = journal_.root(head->size);
    if (!root) return refuse(root.error());
    if (*root != head->root) return not_extending(where, head->size, *entries);
    return {};
}

Result<void> CheckpointSigner::extends_the_newest() const {
    const auto keys = station_keys(journal_);
    if (!keys) return refuse(keys.error());
    const auto last = last_checkpoint(journal_);
    if (!last) return refuse(last.error());
    if (*last)
        if (auto fine = extends((*last)->note, journal_.file().string(), *keys); !fine) return fine;
    for (const auto& folder : settings_.folders) {
        const auto file = folder / "latest.txt";
        if (const auto note = text_of(file))
            if (auto fine = extends(*note, file.string(), *keys); !fine) return fine;
    }
    return {};
}

Result<KeptCheckpoint> CheckpointSigner::sign(const std::string& cause, const std::string& who) {
    unwritten_.clear();
    if (auto fine = extends_the_newest(); !fine) return refuse(std::move(fine.error()));
    const auto last = last_checkpoint(journal_);
    if (!last) return refuse(last.error());
    const auto newest = last_seq_to_sign(journal_);
    if (!newest) return refuse(newest.error());
    last_mono_ns_ = clock_.mono_ns();
    if (*last && *newest <= (*last)->size) {
        write_files(**last);  // one that could not be written then may be now
        return **last;
    }
    const auto size = journal_.last_seq();
    if (!size) return refuse(size.error());
    const auto root = journal_.root(*size);
    if (!root) return refuse(root.error());
    entries::CheckpointSigned body;
    body.size = *size;
    body.root = to_base64(*root);
    body.note = sign_checkpoint(*size, *root, key_).bytes();
    body.cause = cause;
    if (const auto ran = desk_.note(body, who); ran.refusal) return refuse(*ran.refusal);
    auto made = last_checkpoint(journal_);
    if (!made) return refuse(std::move(made.error()));
    write_files(**made);
    return std::move(**made);
}

std::optional<Result<KeptCheckpoint>> CheckpointSigner::tend() {
    if (!settings_.hourly || clock_.mono_ns() - last_mono_ns_ < hour_ns) return std::nullopt;
    last_mono_ns_ = clock_.mono_ns();  // once an hour, also when it is refused
    const auto last = last_checkpoint(journal_);
    const auto newest = last_seq_to_sign(journal_);
    if (last && newest && *last && *newest <= (*last)->size) return std::nullopt;
    return sign("hour", "");
}

void CheckpointSigner::write_files(const KeptCheckpoint& checkpoint) {
    for (const auto& folder : settings_.folders) {
        std::error_code unimportant;
        std::filesystem::create_directories(folder, unimportant);  // what comes next tells
        for (const auto& name : {std::to_string(checkpoint.size) + ".txt", std::string("latest.txt")})
            if (auto done = put(folder / name, checkpoint.whole_note()); !done) {
                unwritten_.push_back(std::move(done.error()));
                break;
            }
    }
}

}  // namespace crimpgate
