// A new key in the place of the station's: because its secret may have been copied, or its keeper left.
//
// In this order, so that a power cut at any point leaves a station that starts:
//   1. the new secret goes to "<file>.next" (0600, on the disk),
//   2. the journal is told (key.handed_over, with the old key's word for the new one),
//   3. the old file is kept as "<file>.<key id>.old" and the new one takes its place.
// After a cut between 2 and 3 the next start finishes it; a ".next" of which the journal knows nothing is nobody's key
// and is made anew. The tag key changes with it, since both come from one secret.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "station/daemon/desk.h"
#include "station/daemon/station_key.h"

namespace crimpgate {

struct KeyChange {
    std::optional<Message> refusal;    // nothing was changed
    std::optional<Message> unsettled;  // the journal knows the new key, but step 3 is left to the next start
};

class KeyKeeper {
  public:
    // `keys` are those in force; they are changed in place, so that whoever signs with them need not be told.
    KeyKeeper(Desk& desk, StationKeys& keys, std::filesystem::path file);

    // By whom and why. Refused as the bench and the journal do, or "record.key_unreadable".
    KeyChange hand_over(const std::string& reason, const std::string& who);

    // The secret, for the recovery page: the file's, if it is the key in force ("record.other_key", or as
    // read_key_file refuses). To be wiped.
    Result<Seed> seed() const;

  private:
    Desk& desk_;
    StationKeys& keys_;
    std::filesystem::path file_;
};

// Step 3, or what is left of it. Nothing happens when there is no ".next", or it is not the last key that the journal
// knows. To be called at a start, before the key is opened.
Result<void> finish_key_change(const std::filesystem::path& file, const std::vector<StationKey>& known);

// Where step 1 writes.
std::filesystem::path next_key_file(const std::filesystem::path& file);

}  // namespace crimpgate
