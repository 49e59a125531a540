// Every profile's own recordings, played in every way that a line can deliver them. A new profile is tested by being
// there.
#include <set>

#include "drivers/frame_parser.h"
#include "tests/drivers/profile_files.h"

using namespace crimpgate;

namespace {

template <class Check>
void for_each_recording(Check check) {
    for (const auto& profile : all_profiles()) {
        for (const auto& recording : profile.recordings) {
            INFO(profile.id << ": " << recording.note);
            check(profile, recording);
        }
    }
}

void must_give(const Played& played, const Recording& recording) {
    CHECK(played.readings == recording.readings);
    CHECK(played.refusals == recording.refusals);
}

// The recording once for each of its bytes, with that byte changed.
std::vector<std::vector<Piece>> changed_at_each_byte(const Recording& recording,
                                                     std::string (*change)(std::string, std::size_t)) {
    std::vector<std::vector<Piece>> out;
    for (std::size_t chunk = 0; chunk < recording.chunks.size(); ++chunk) {
        for (std::size_t position = 0; position < recording.chunks[chunk].size(); ++position) {
            auto pieces = pieces_of(recording);
            pieces[chunk].bytes = change(pieces[chunk].bytes, position);
            out.push_back(std::move(pieces));
        }
    }
    return out;
}

std::string shown(const std::vector<Piece>& pieces) {
    std::string out;
    for (const auto& piece : pieces)
        out += readable_bytes(piece.bytes) + " | ";
    return out;
}

}  // namespace

TEST_CASE("R8: every profile gives the readings and refusals that its own recordings must give") {
    REQUIRE(profile_ids().size() >= 8);
    for_each_recording([](const Profile& profile, const Recording& recording) {
        must_give(play(profile, pieces_of(recording)), recording);
    });
}

TEST_CASE("R8: a gauge's bytes may come one at a time and give the same") {
    for_each_recording([](const Profile& profile, const Recording& recording) {
        std::vector<Piece> pieces;
        for (const auto& piece : pieces_of(recording))
            for (const char c : piece.bytes)
                pieces.push_back({piece.ms, std::string(1, c)});
        must_give(play(profile, pieces), recording);
    });
}

TEST_CASE("R8: a gauge's bytes may be split at any place and give the same") {
    for_each_recording([](const Profile& profile, const Recording& recording) {
        const auto whole = pieces_of(recording);
        for (std::size_t chunk = 0; chunk < whole.size(); ++chunk) {
            for (std::size_t split = 1; split < whole[chunk].bytes.size(); ++split) {
                auto pieces = whole;
                const auto tail = pieces[chunk].bytes.substr(split);
                pieces[chunk].bytes.resize(split);
                pieces.insert(pieces.begin() + static_cast<std::ptrdiff_t>(chunk) + 1, {pieces[chunk].ms, tail});
                INFO("chunk " << chunk << " split at " << split);
                must_give(play(profile, pieces), recording);
            }
        }
    });
}

TEST_CASE("R8: garbage before a frame costs no reading, makes none, and is counted") {
    const std::string garbage[] = {
        "#?x", std::string("\xFF\x00\x80\x7F", 4), "\x02", "\x03", std::string(40, 'U'), std::string(300, '?')};
    for_each_recording([&](const Profile& profile, const Recording& recording) {
        for (const auto& rubbish : garbage) {
            auto pieces = pieces_of(recording);
            pieces.front().bytes.insert(0, rubbish);
            INFO("before it: " << readable_bytes(rubbish));
            const auto played = play(profile, pieces);
            CHECK(!played.refusals.empty());
            if (!opens_with_digits(profile)) {
                CHECK(played.readings == recording.readings);
                continue;
            }
            // Digits behind garbage may be the rest of a longer number: such a line is refused whole.
            CHECK(is_subsequence(played.readings, recording.readings));
            CHECK(played.readings.size() + 1 >= recording.readings.size());
        }
    });
}

TEST_CASE("R8: the rest of a frame that began before the line was opened makes no wrong reading") {
    for_each_recording([](const Profile& profile, const Recording& recording) {
        const auto& first = recording.chunks.front();
        for (std::size_t n = 1; n < first.size(); ++n) {
            for (const auto& rest : {first.substr(n), first.substr(0, n)}) {
                auto pieces = pieces_of(recording);
                pieces.front().bytes.insert(0, rest);
                INFO("before it: " << readable_bytes(rest));
                CHECK(is_subsequence(play(profile, pieces).readings, recording.readings));
            }
        }
    });
}

TEST_CASE("R8: one byte lost costs its own press and never makes a wrong value") {
    const auto lose = [](std::string bytes, std::size_t at) { return bytes.erase(at, 1); };
    for_each_recording([&](const Profile& profile, const Recording& recording) {
        for (const auto& pieces : changed_at_each_byte(recording, lose)) {
            INFO(shown(pieces));
            const auto played = play(profile, pieces);
            CHECK(is_subsequence(played.readings, recording.readings));
            if (!profile.stillness()) CHECK(played.readings.size() + 1 >= recording.readings.size());
            // What was lost is told: one more refusal, or a refusal of another kind.
            if (!profile.stillness() && recording.refusals.empty()) CHECK(played.refusals.size() == 1);
        }
    });
}

TEST_CASE("R8: one byte sent twice never makes a wrong value") {
    const auto twice = [](std::string bytes, std::size_t at) { return bytes.insert(at, 1, bytes[at]); };
    for_each_recording([&](const Profile& profile, const Recording& recording) {
        for (const auto& pieces : changed_at_each_byte(recording, twice)) {
            INFO(shown(pieces));
            CHECK(is_subsequence(play(profile, pieces).readings, recording.readings));
        }
    });
}

TEST_CASE("R8: presses that pile up on a slow line and lose a byte make no wrong value") {
    for (const auto& profile : all_profiles()) {
        if (profile.stillness()) continue;
        for (const auto& recording : profile.recordings) {
            std::string all;
            for (const auto& chunk : recording.chunks)
                all += chunk;
            for (std::size_t at = 0; at < all.size(); ++at) {
                auto bytes = all;
                bytes.erase(at, 1);
                INFO(profile.id << ": " << readable_bytes(bytes));
                const auto played = play(profile, {{0, bytes}});
                CHECK(is_subsequence(played.readings, recording.readings));
                CHECK(played.readings.size() + 2 >= recording.readings.size());
            }
        }
    }
}

TEST_CASE("R8: a recording played twice, with time between, gives everything twice") {
    for_each_recording([](const Profile& profile, const Recording& recording) {
        auto pieces = pieces_of(recording);
        const auto second = pieces_of(recording, pieces.back().ms + 5'000);
        pieces.insert(pieces.end(), second.begin(), second.end());
        auto expected = recording;
        expected.readings.insert(expected.readings.end(), recording.readings.begin(), recording.readings.end());
        expected.refusals.insert(expected.refusals.end(), recording.refusals.begin(), recording.refusals.end());
        must_give(play(profile, pieces), expected);
    });
}

TEST_CASE("R8: the same press twice within the least gap counts once, and at the gap counts twice") {
    for (const auto& profile : all_profiles()) {
        if (profile.stillness()) continue;
        INFO(profile.id);
        int single_presses = 0;
        for (const auto& recording : profile.recordings) {
            if (recording.chunks.size() != 1 || recording.readings.size() != 1 || !recording.refusals.empty()) continue;
            ++single_presses;
            const auto& bytes = recording.chunks.front();
            const auto gap = profile.min_gap_ms();
            REQUIRE(gap > 1);
            const auto within = play(profile, {{0, bytes}, {gap - 1, bytes}});
            CHECK(within.readings.size() == 1);
            CHECK(within.refusals == std::vector<std::string>{"driver.repeat"});
            const auto beyond = play(profile, {{0, bytes}, {gap, bytes}});
            CHECK(beyond.readings.size() == 2);
            CHECK(beyond.refusals.empty());
        }
        if (profile.id != "skeleton") CHECK(single_presses >= 1);
    }
}

TEST_CASE("Every profile is named as its file, says where its recordings come from, and shows what it refuses") {
    std::set<std::string> codes;
    for (const auto& id : profile_ids()) {
        INFO(id);
        const auto profile = shipped_profile(id);
        CHECK(profile.id == id);
        CHECK(!profile.title.empty());
        std::size_t readings = 0, refusals = 0;
        for (const auto& recording : profile.recordings) {
            CHECK(!recording.source.empty());
            readings += recording.readings.size();
            refusals += recording.refusals.size();
            codes.insert(recording.refusals.begin(), recording.refusals.end());
        }
        CHECK(readings > 0);
        CHECK(refusals > 0);
    }
    const std::set<std::string> all = {"driver.malformed",         "driver.checksum",       "driver.unit_unexpected",
                                       "driver.sign_impossible",   "driver.digits_missing", "driver.mark_unexpected",
                                       "driver.places_unexpected", "driver.off_resolution", "driver.low_battery",
                                       "driver.over_range",        "driver.hold",           "driver.repeat",
                                       "driver.half_frame",        "driver.noise"};
    CHECK(codes == all);  // the recordings together show every reason there is
}
