#include "tools/recorder/recording.h"

#include <algorithm>

#include "drivers/decoder.h"

namespace crimpgate {

namespace {

bool plain(char c) {
    return (c >= 0x20 && c < 0x7f) || c == '\r' || c == '\n';
}

std::string quoted(std::string_view text) {
    std::string out = "\"";
    for (const char c : text) {
        if (c == '\r')
            out += "\\r";
        else if (c == '\n')
            out += "\\n";
        else if (c == '"' || c == '\\')
            out += {'\\', c};
        else
            out += static_cast<unsigned char>(c) < 0x20 || c == 0x7f ? '?' : c;
    }
    return out + '"';
}

std::string list_of(const std::vector<std::string>& items) {
    std::string out = "[";
    for (const auto& item : items)
        out += (out.size() > 1 ? ", " : "") + item;
    return out + "]";
}

struct Outcome {
    std::vector<std::string> readings;
    std::vector<std::string> refusals;
};

// As the profile's own test plays it: chunk after chunk at the gap, then silence, then the line's end.
Outcome played(const std::vector<std::string>& chunks, int gap_ms, const Profile& profile) {
    Outcome outcome;
    const auto note = [&](const std::vector<GaugeEvent>& events) {
        for (const auto& event : events) {
            if (const auto* reading = std::get_if<Reading>(&event)) {
                const bool mm = reading->unit == LengthUnit::mm;
                const int places = profile.form(reading->unit)->places;
                outcome.readings.push_back(quoted(
                    (mm ? reading->value.to_mm_text(places) + " mm" : reading->value.to_inch_text(places) + " in")));
            } else {
                outcome.refusals.push_back(quoted(std::get<Refusal>(event).why.code));
            }
        }
    };
    Decoder decoder(profile);
    Arrival at{0, 1'000'000'000};
    for (const auto& chunk : chunks) {
        note(decoder.tick(at));
        note(decoder.feed(chunk, at));
        at.mono_ns += std::int64_t{gap_ms} * 1'000'000;
    }
    at.mono_ns += 60'000'000'000;
    note(decoder.tick(at));
    note(decoder.reset(at));
    return outcome;
}

}  // namespace

void RecordedBytes::add(std::string_view bytes, Arrival at) {
    if (bytes.empty()) return;
    if (chunks_.empty() || at.mono_ns - chunks_.back().last_ns > chunk_gap_ns) chunks_.push_back({{}, at, 0});
    chunks_.back().bytes += bytes;
    chunks_.back().last_ns = at.mono_ns;
}

std::vector<std::string> RecordedBytes::chunks() const {
    std::vector<std::string> list;
    for (const Chunk& chunk : chunks_)
        list.push_back(chunk.bytes);
    return list;
}

int RecordedBytes::gap_ms() const {
    if (chunks_.size() < 2) return 1000;
    std::vector<std::int64_t> gaps;
    for (std::size_t i = 1; i < chunks_.size(); ++i)
        gaps.push_back(chunks_[i].first.mono_ns - chunks_[i - 1].first.mono_ns);
    std::sort(gaps.begin(), gaps.end());
    return static_cast<int>(std::min<std::int64_t>(gaps[gaps.size() / 2] / 1'000'000, 3'600'000));
}

std::string toml_bytes(std::string_view bytes) {
    if (std::all_of(bytes.begin(), bytes.end(), plain) && !bytes.starts_with("hex:")) return quoted(bytes);
    constexpr std::string_view digits = "0123456789ABCDEF";
    std::string out = "\"hex:";
    for (const char c : bytes) {
        const auto byte = static_cast<unsigned char>(c);
        out += {' ', digits[byte >> 4], digits[byte & 15]};
    }
    return out + '"';
}

std::string recording_block(const RecordedBytes& bytes, const RecordingHeader& header, const Profile* profile) {
    std::vector<std::string> chunks;
    for (const auto& chunk : bytes.chunks())
        chunks.push_back(toml_bytes(chunk));
    const int gap = bytes.gap_ms();
    const std::string who = header.who.empty() ? "(say who, from which gauge)" : header.who;

    std::string out = "[[recording]]\n";
    out += "note = \"(say what was measured, and what the display showed)\"\n";
    out += "source = " + quoted(who + ", " + header.when_utc + " UTC, " + header.settings) + '\n';
    out += "gap_ms = " + std::to_string(gap) + '\n';
    out += "bytes = [\n";
    for (const auto& chunk : chunks)
        out += "    " + chunk + ",\n";
    out += "]\n";
    if (profile == nullptr) {
        out += "# readings = [\"21.58 mm\"]    what the display showed, in order\n";
        out += "# refusals = [\"driver.half_frame\"]    what must be refused, in order\n";
        return out;
    }
    const Outcome outcome = played(bytes.chunks(), gap, *profile);
    out += "# As the profile makes it of these bytes. Check every reading against what the display showed.\n";
    if (!outcome.readings.empty()) out += "readings = " + list_of(outcome.readings) + '\n';
    if (!outcome.refusals.empty()) out += "refusals = " + list_of(outcome.refusals) + '\n';
    return out;
}

}  // namespace crimpgate
