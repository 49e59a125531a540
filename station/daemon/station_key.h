// The station's secret: a file of one line beside the journal, made at the first start, readable by its user alone.
//
//     crimpgate-key-seed/1 <base64 of the 32 bytes>
//
// From it come the key that signs checkpoints and papers and the key that signs tags (station/proof/signing_key.h).
// Whoever has the file can sign in the station's name; whoever lost it and has no recovery page cannot sign under the
// old name any more. What it signs is in the journal, the file never is.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "specs/message.h"
#include "station/entries/record_entries.h"
#include "station/journal/checkpoints.h"
#include "station/proof/signing_key.h"

namespace crimpgate {

struct StationKeys {
    SigningKey checkpoints;  // also seals papers
    SigningKey tags;

    std::string tag_key_text() const { return to_base64(as_text(tags.verifier().key)); }
};

StationKeys keys_of(const std::string& name, const Seed& seed);

// The file's one line, and back ("record.key_malformed").
std::string seed_text(const Seed& seed);
Result<Seed> read_seed_text(std::string_view text);

// Refused: "record.key_readable" (file, mode) when others than its user may read or write it, "record.key_unreadable"
// (file, why), "record.key_malformed" (file).
Result<Seed> read_key_file(const std::filesystem::path& file);

// Never over one that is there ("record.key_exists"); mode 0600 from the start, on the disk before it returns.
Result<void> write_key_file(const std::filesystem::path& file, const Seed& seed);

// The keys to work with, and whether the journal must be told of them (key.made) because it knows of none.
struct OpenedKeys {
    StationKeys keys;
    bool to_be_told = false;
};

// At start-up: the file's key must be the last one that the journal knows; without a journal's key the file is made.
// Refused as above, or "record.key_missing" (file, key: the journal knows a key, but there is no file: restore it) and
// "record.other_key" (file, found, wanted: the file is another's).
Result<OpenedKeys> open_station_keys(const std::filesystem::path& file, const std::string& name,
                                     const std::vector<StationKey>& known);

}  // namespace crimpgate
