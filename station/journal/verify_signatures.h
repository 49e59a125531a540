// What verify() asks of keys, checkpoints and countersignatures, entry by entry. Internal to station/journal.
//
// The first key is the journal's own word (unless the caller trusts one: then it must be that one or an older one that
// leads to it); every later one must be handed over by the one before it. A key made anew without a hand-over, because
// the old one was lost, is counted and named: what was signed with it stands on nothing that came before.
#pragma once

#include <cstdint>
#include <functional>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "specs/message.h"
#include "station/journal/entry.h"
#include "station/proof/checkpoint.h"

namespace crimpgate {

class SignatureCheck {
  public:
    // root_at(size): of the first `size` entries, which lie behind the one that is looked at and were found sound.
    explicit SignatureCheck(std::function<Hash(std::int64_t size)> root_at) : root_at_(std::move(root_at)) {}

    // Whether entries of that type are for look() at all.
    static bool concerns(std::string_view type);

    // What is wrong with the entry: "verify.key", "verify.checkpoint" or "verify.countersignature", each with `why`.
    std::optional<Message> look(const Entry& entry);

    const std::vector<VerifierKey>& keys() const { return keys_; }
    std::int64_t keys_without_hand_over() const { return orphans_; }
    std::int64_t checkpoints() const { return checkpoints_; }
    std::int64_t countersignatures() const { return countersignatures_; }
    std::int64_t signed_size() const { return signed_size_; }

  private:
    std::optional<Message> key_made(const Entry& entry);
    std::optional<Message> key_handed_over(const Entry& entry);
    std::optional<Message> checkpoint_signed(const Entry& entry);
    std::optional<Message> checkpoint_countersigned(const Entry& entry);

    std::function<Hash(std::int64_t)> root_at_;
    std::vector<VerifierKey> keys_;  // the last one is in force
    std::int64_t orphans_ = 0;
    std::set<std::string> witnesses_;
    std::map<std::int64_t, std::string> texts_;  // signed checkpoints by size
    std::int64_t checkpoints_ = 0;
    std::int64_t countersignatures_ = 0;
    std::int64_t signed_size_ = 0;
};

}  // namespace crimpgate
