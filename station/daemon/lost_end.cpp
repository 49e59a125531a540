#include "station/daemon/lost_end.h"

#include <algorithm>
#include <fstream>
#include <iterator>
#include <set>
#include <system_error>

#include "station/journal/files.h"
#include "station/proof/checkpoint.h"

namespace crimpgate {
namespace {

constexpr std::string_view mark = "\n\ncrimpgate-lost/1\nsizes ";

std::string text_of(const std::filesystem::path& file) {
    std::ifstream in(file, std::ios::binary);
    return std::string((std::istreambuf_iterator<char>(in)), {});
}

Result<std::vector<VerifierKey>> keys_known(const Journal& journal) {
    const auto known = station_keys(journal);
    if (!known) return refuse(known.error());
    std::vector<VerifierKey> keys;
    for (const auto& one : *known)
        if (auto key = parse_verifier_key(one.key)) keys.push_back(std::move(*key));
    return keys;
}

std::optional<Checkpoint> opened(const std::string& note, const std::vector<VerifierKey>& keys) {
    for (const auto& key : keys)
        if (const auto found = open_checkpoint(note, key)) return found->checkpoint;
    return std::nullopt;
}

// Whether the journal's first entries are those under the checkpoint.
Result<bool> continued(const Journal& journal, const Checkpoint& head) {
    const auto entries = journal.last_seq();
    if (!entries) return refuse(entries.error());
    if (head.size > *entries) return false;
    const auto root = journal.root(head.size);
    if (!root) return refuse(root.error());
    return *root == head.root;
}

Result<void> move_away(const std::vector<LostNote>& lost, const std::string& date) {
    for (const auto& one : lost) {
        const auto folder = one.file.parent_path() / ("lost-" + date);
        std::error_code why;
        std::filesystem::create_directories(folder, why);
        if (!why) std::filesystem::rename(one.file, folder / one.file.filename(), why);
        if (why) return refuse(message("record.not_moved").with("file", one.file.string()).with("why", why.message()));
        if (auto flushed = flush(folder); !flushed) return flushed;
        if (auto flushed = flush(one.file.parent_path()); !flushed) return flushed;
    }
    return {};
}

// The note that the last hand-over tells of as lost, or nothing: it may have been told before a power cut.
Result<bool> told_already(const Journal& journal, const std::vector<LostNote>& lost) {
    const auto told = told_losses(journal);
    if (!told) return refuse(told.error());
    return !told->empty() && told->back().note == lost.front().note;
}

}  // namespace

Result<std::vector<LostNote>> lost_notes(const Journal& journal, const std::vector<std::filesystem::path>& folders) {
    const auto keys = keys_known(journal);
    if (!keys) return refuse(keys.error());
    std::vector<LostNote> lost;
    for (const auto& folder : folders) {
        std::error_code unimportant;
        for (const auto& entry : std::filesystem::directory_iterator(folder, unimportant)) {
            if (entry.path().extension() != ".txt" || !entry.is_regular_file(unimportant)) continue;
            std::string note = text_of(entry.path());
            const auto head = opened(note, *keys);
            if (!head) return refuse(message("record.foreign_checkpoint").with("where", entry.path().string()));
            const auto fine = continued(journal, *head);
            if (!fine) return refuse(fine.error());
            if (!*fine) lost.push_back({entry.path(), head->size, std::move(note)});
        }
    }
    std::sort(lost.begin(), lost.end(), [](const LostNote& a, const LostNote& b) {
        return a.size != b.size ? a.size > b.size : a.file < b.file;
    });
    return lost;
}

std::string loss_text(const std::string& reason, const std::vector<LostNote>& lost) {
    std::set<std::int64_t> sizes;
    for (const auto& one : lost)
        sizes.insert(one.size);
    std::string text = reason + std::string(mark);
    for (const auto size : sizes)
        text += (size == *sizes.begin() ? "" : " ") + std::to_string(size);
    return text + "\n" + lost.front().note;
}

Result<std::vector<ToldLoss>> told_losses(const Journal& journal) {
    const auto known = station_keys(journal);
    if (!known) return refuse(known.error());
    std::vector<ToldLoss> out;
    for (std::size_t i = 1; i < known->size(); ++i) {
        const auto entry = journal.entry((*known)[i].seq);
        if (!entry) return refuse(entry.error());
        const auto* reason = *entry ? (*entry)->body.if_contains("reason") : nullptr;
        if (reason == nullptr || !reason->is_string()) continue;
        const std::string text(reason->get_string());
        const auto at = text.find(mark);
        if (at == std::string::npos) continue;
        const auto from = std::min(text.find('\n', at + mark.size()), text.size() - 1) + 1;
        ToldLoss loss;
        loss.seq = (*known)[i].seq;
        loss.time = (*entry)->time;
        loss.who = (*entry)->who;
        loss.reason = text.substr(0, at);
        loss.note = text.substr(from);
        const auto before = parse_verifier_key((*known)[i - 1].key);
        const auto head = before ? opened(loss.note, {*before}) : std::nullopt;
        const auto fine = head ? continued(journal, *head) : Result<bool>(true);
        if (!fine) return refuse(fine.error());
        if (*fine && (!head || head->size < loss.seq))
            return refuse(message("record.false_loss").with("seq", std::to_string(loss.seq)));
        loss.size = head->size;
        out.push_back(std::move(loss));
    }
    return out;
}

Result<WentOn> go_on_after_loss(Desk& desk, Journal& journal, const Clock& clock, StationKeys& keys,
                                const std::filesystem::path& key_file, CheckpointSigner::Settings settings,
                                const std::string& reason, const std::string& who, const std::string& date) {
    if (reason.empty()) return refuse(message("bench.field_empty").with("field", "reason"));
    auto lost = lost_notes(journal, settings.folders);
    if (!lost) return refuse(std::move(lost.error()));
    if (lost->empty()) return refuse(message("record.nothing_lost"));
    const auto told = told_already(journal, *lost);
    if (!told) return refuse(told.error());
    if (!*told) {
        KeyKeeper keeper(desk, keys, key_file);
        auto changed = keeper.hand_over(loss_text(reason, *lost), who);
        if (changed.refusal) return refuse(std::move(*changed.refusal));
        if (changed.unsettled) return refuse(std::move(*changed.unsettled));
    }
    if (auto moved = move_away(*lost, date); !moved) return refuse(std::move(moved.error()));
    CheckpointSigner signer(desk, journal, clock, keys.checkpoints, std::move(settings));
    auto first = signer.sign("key", who);
    if (!first) return refuse(std::move(first.error()));
    return WentOn{std::move(*lost), std::move(*first)};
}

}  // namespace crimpgate
