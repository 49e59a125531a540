// What a gauge sent, as a [[recording]] block for a profile file. Pure; the clock comes in with the bytes.
//
// Bytes that came within chunk_gap of one another are one chunk. The block's gap_ms is one figure for all its chunks,
// so the readings and refusals that it lists are those that its own chunks give at that gap, played through the
// profile: the block passes the profile's test as it stands, and a person then checks the readings against the gauge's
// display.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "drivers/profile.h"
#include "drivers/reading.h"

namespace crimpgate {

class RecordedBytes {
  public:
    static constexpr std::int64_t chunk_gap_ns = 30'000'000;

    void add(std::string_view bytes, Arrival at);
    bool empty() const { return chunks_.empty(); }
    std::vector<std::string> chunks() const;
    // The median time between chunks' beginnings, whole ms; 1000 for fewer than two.
    int gap_ms() const;

  private:
    struct Chunk {
        std::string bytes;
        Arrival first;
        std::int64_t last_ns = 0;
    };
    std::vector<Chunk> chunks_;
};

struct RecordingHeader {
    std::string who;       // may be empty: then the block asks for it
    std::string when_utc;  // "2026-11-25 14:52"
    std::string settings;  // the line's, or the converter's address
};

// TOML, ends with a line feed. Without a profile there is nothing to play through, and the block says what to fill in.
std::string recording_block(const RecordedBytes& bytes, const RecordingHeader& header, const Profile* profile);

// A TOML string: characters where all are printable ASCII, CR or LF; otherwise "hex: 02 FF".
std::string toml_bytes(std::string_view bytes);

}  // namespace crimpgate
