// The way out for a shop whose journal lost its end for good: the disk died, the copy is from yesterday, and
// checkpoints were signed over entries that nobody has any more ("record.not_extending").
//
// What must never happen is that one key signs two trees. So the old key signs nothing of what comes now but its own
// end: a hand-over to a new key (key.handed_over), whose reason holds, in the record for good, what was lost:
//
//     <the setter's reason>
//     (empty line)
//     crimpgate-lost/1
//     sizes <size> <size> ...      of all signed checkpoints that this journal does not continue
//     <the newest of them, verbatim>
//
// Then those files are moved into a folder "lost-<date>" beside each, where they still can be looked at, and a first
// checkpoint is signed with the new key. Whoever trusts the old key is led to the new one, with the loss told in the
// same entry; whoever holds a lost checkpoint sees two pasts, as they must, and finds the shop's own word for it.
// Witnesses refuse from then on: theirs is to look at what was lost and to make a new key.
//
// In this order, so that a power cut leaves a station that refuses to start or one that is through: the new key and the
// entry (key_change.h), then the files, then the checkpoint. Run again, it goes on where it was.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "station/daemon/checkpoint_signer.h"
#include "station/daemon/key_change.h"

namespace crimpgate {

struct LostNote {
    std::filesystem::path file;
    std::int64_t size = 0;
    std::string note;
};

// Every checkpoint in the folders that a key of this journal signed and that the journal does not continue, the newest
// first. Files that are none are passed over; "record.foreign_checkpoint" (where) for one of no key of this journal.
Result<std::vector<LostNote>> lost_notes(const Journal& journal, const std::vector<std::filesystem::path>& folders);

// The text for the hand-over's reason.
std::string loss_text(const std::string& reason, const std::vector<LostNote>& lost);

// A loss as the record tells it, held against the record: `note` is signed by the key before, and the journal does not
// continue it ("record.false_loss", seq, otherwise).
struct ToldLoss {
    std::int64_t seq = 0;  // of the entry; everything before it is what was left
    std::string time;
    std::string who;
    std::string reason;     // the setter's
    std::int64_t size = 0;  // so many entries had been signed
    std::string note;
};
Result<std::vector<ToldLoss>> told_losses(const Journal& journal);

struct WentOn {
    std::vector<LostNote> lost;
    KeptCheckpoint first;  // with the new key
};

// By a setter, and why. Refused: "record.nothing_lost", "bench.*" and "journal.*", "record.key_*",
// "record.not_moved" (file, why).
Result<WentOn> go_on_after_loss(Desk& desk, Journal& journal, const Clock& clock, StationKeys& keys,
                                const std::filesystem::path& key_file, CheckpointSigner::Settings settings,
                                const std::string& reason, const std::string& who, const std::string& date);

}  // namespace crimpgate
