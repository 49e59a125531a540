// Signs the journal's head: at the end of a shift, every hour while entries arrive, and when somebody asks.
//
// A key must never sign two trees of which neither extends the other; with that a shop could show two pasts. After a
// journal was put back from a backup it would happen by itself. So before signing, the newest checkpoint that can be
// found anywhere is held against the journal: the journal's own last one and the files of every folder. What the
// journal does not extend stops the signing (R10, "record.not_extending"), and nothing here can be told to sign all the
// same.
//
// Each checkpoint is an entry (checkpoint.signed) first and then a file, <size>.txt and latest.txt, in every folder:
// one beside the journal, and one more where the shop wants it (a share, a stick), so that the past leaves the machine.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "station/daemon/desk.h"
#include "station/daemon/station_key.h"

namespace crimpgate {

class CheckpointSigner {
  public:
    struct Settings {
        std::vector<std::filesystem::path> folders;  // made when they are not there
        bool hourly = true;
    };
    CheckpointSigner(Desk& desk, Journal& journal, const Clock& clock, const SigningKey& key, Settings settings);

    // Signs all entries so far, unless nothing but checkpoints came since the last one: then that one is the answer.
    // Refused: "record.not_extending" (where, size, why), "record.foreign_checkpoint" (where: not by a key of this
    // journal), or the journal's own refusal. A folder that cannot be written does not undo what was signed: its
    // message is in unwritten().
    Result<KeptCheckpoint> sign(const std::string& cause, const std::string& who);

    // To be called every second or so: signs when an hour has gone by since the last one and entries came since.
    // Nothing when it is not time yet.
    std::optional<Result<KeptCheckpoint>> tend();

    // What could not be written at the last signing; empty when all was.
    const std::vector<Message>& unwritten() const { return unwritten_; }

    // Whether the journal extends the newest checkpoint of every folder and its own last one; asked before signing, and
    // at start-up.
    Result<void> extends_the_newest() const;

  private:
    Result<void> extends(const std::string& note, const std::string& where, const std::vector<StationKey>& keys) const;
    void write_files(const KeptCheckpoint& checkpoint);

    Desk& desk_;
    Journal& journal_;
    const Clock& clock_;
    const SigningKey& key_;
    Settings settings_;
    std::int64_t last_mono_ns_;
    std::vector<Message> unwritten_;
};

}  // namespace crimpgate
