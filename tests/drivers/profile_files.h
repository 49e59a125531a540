// The shipped profiles, read from their folder, and a clock for playing bytes to a decoder.
#pragma once

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <utility>
#include <vector>

#include "drivers/decoder.h"
#include "drivers/profile.h"
#include "tests/support/catch.h"

namespace crimpgate {

inline std::string file_text(const std::filesystem::path& path) {
    std::ifstream in(path, std::ios::binary);
    REQUIRE(in);
    return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

inline std::filesystem::path profile_folder() {
    return std::filesystem::path(CRIMPGATE_SOURCE_DIR) / "drivers" / "profiles";
}

inline Profile shipped_profile(const std::string& id) {
    auto profile = parse_profile(file_text(profile_folder() / (id + ".toml")));
    if (!profile) {
        FAIL(id << ": " << profile.error().code << " line " << profile.error().detail("line") << " "
                << profile.error().detail("key") << profile.error().detail("what") << " "
                << profile.error().detail("found") << " / " << profile.error().detail("expected"));
    }
    return *profile;
}

inline std::vector<std::string> profile_ids() {
    std::vector<std::string> ids;
    for (const auto& entry : std::filesystem::directory_iterator(profile_folder()))
        if (entry.path().extension() == ".toml") ids.push_back(entry.path().stem().string());
    std::sort(ids.begin(), ids.end());
    return ids;
}

inline std::vector<Profile> all_profiles() {
    std::vector<Profile> out;
    for (const auto& id : profile_ids())
        out.push_back(shipped_profile(id));
    return out;
}

inline Arrival at_ms(std::int64_t ms) {
    return Arrival{1'700'000'000'000 + ms, (1'000 + ms) * 1'000'000};
}

// What bytes gave, with every byte accounted for.
struct Played {
    std::vector<ExpectedReading> readings;
    std::vector<std::string> refusals;
    std::string raw;  // of all events, in order
    DecoderCounters counters;
};

struct Piece {
    std::int64_t ms = 0;
    std::string bytes;
};

inline void note_events(const std::vector<GaugeEvent>& events, Played& played) {
    for (const auto& event : events) {
        if (const auto* reading = std::get_if<Reading>(&event)) {
            played.readings.push_back({reading->value, reading->unit});
            played.raw += reading->raw;
        } else {
            const auto& refusal = std::get<Refusal>(event);
            played.refusals.push_back(refusal.why.code);
            played.raw += refusal.raw;
        }
    }
}

// Plays the pieces, then lets a minute of silence pass. Fails when a byte is not accounted for.
inline Played play(const Profile& profile, const std::vector<Piece>& pieces) {
    Decoder decoder(profile);
    Played played;
    std::string sent;
    std::int64_t last_ms = 0;
    for (const auto& piece : pieces) {
        note_events(decoder.feed(piece.bytes, at_ms(piece.ms)), played);
        sent += piece.bytes;
        last_ms = piece.ms;
        const auto& c = decoder.counters();
        if (c.bytes_in != sent.size() || c.bytes_in != c.frame_bytes + c.noise_bytes + c.pending ||
            c.pending > profile.longest_frame())
            FAIL(profile.id << ": bytes lost from the count");
    }
    note_events(decoder.tick(at_ms(last_ms + 60'000)), played);
    played.counters = decoder.counters();
    if (played.counters.pending != 0 ||
        played.counters.bytes_in != played.counters.frame_bytes + played.counters.noise_bytes)
        FAIL(profile.id << ": bytes lost from the count after silence");
    // A gauge that sends when pressed hands every byte on, in a reading or in a refusal; a stream leaves out what
    // does not count.
    if (!profile.stillness() && played.raw != sent) FAIL(profile.id << ": a byte was neither read nor refused");
    return played;
}

// Such a line has no landmark at its front: what stands before its digits cannot be told from them.
inline bool opens_with_digits(const Profile& profile) {
    return std::holds_alternative<LineFraming>(profile.framing) &&
           std::holds_alternative<DigitsField>(profile.pattern.front());
}

inline std::vector<Piece> pieces_of(const Recording& recording, std::int64_t from_ms = 0) {
    std::vector<Piece> pieces;
    for (const auto& chunk : recording.chunks) {
        pieces.push_back({from_ms, chunk});
        from_ms += recording.gap_ms;
    }
    return pieces;
}

inline bool is_subsequence(const std::vector<ExpectedReading>& part, const std::vector<ExpectedReading>& whole) {
    auto at = whole.begin();
    for (const auto& item : part) {
        at = std::find(at, whole.end(), item);
        if (at == whole.end()) return false;
        ++at;
    }
    return true;
}

}  // namespace crimpgate
