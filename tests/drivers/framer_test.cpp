// Where frames end, shape by shape, with what lines do to them.
#include "drivers/framer.h"

#include <rapidcheck.h>

#include "drivers/encoder.h"
#include "tests/drivers/profile_files.h"

using namespace crimpgate;

namespace {

using Kind = FrameStep::Kind;

FrameStep complete(std::size_t n) {
    return {Kind::complete, n};
}
FrameStep noise(std::size_t n) {
    return {Kind::noise, n};
}
const FrameStep need_more{};

}  // namespace

TEST_CASE("A line is complete at its terminator and not a byte before") {
    const auto profile = shipped_profile("signed_decimal_unit");
    CHECK(next_step("", profile) == need_more);
    CHECK(next_step("+021.58mm", profile) == need_more);
    CHECK(next_step("+021.58mm\r", profile) == need_more);
    CHECK(next_step("+021.58mm\r\n", profile) == complete(11));
    CHECK(next_step("+021.58mm\r\n+0", profile) == complete(11));
    CHECK(next_step("\r\n+0", profile) == noise(2));
    CHECK(next_step("hello\r\n", profile) == complete(7));  // for the parser to refuse
}

TEST_CASE("Rubbish before a line's frame is noise up to where the frame begins") {
    const auto signed_line = shipped_profile("signed_decimal_unit");
    CHECK(next_step("??+021.58mm\r\n", signed_line) == noise(2));
    CHECK(next_step("+021.58mm+022.00mm\r\n", signed_line) == noise(9));
    const auto header = shipped_profile("ascii_header_mm");
    CHECK(next_step("01A01A+00021.58\r", header) == noise(3));
    CHECK(next_step("01A+0002101A+00021.58\r", header) == noise(6));  // first down to the longest frame
    CHECK(next_step("2101A+00021.58\r", header) == noise(2));
}

TEST_CASE("R8: two signs in a row are not a sign behind rubbish") {
    const auto profile = shipped_profile("signed_decimal_unit");
    CHECK(next_step("-+021.58mm\r\n", profile) == complete(12));
    CHECK(next_step("+-021.58mm\r\n", profile) == complete(12));
}

TEST_CASE("A line that never ends does not grow the buffer") {
    const auto profile = shipped_profile("ascii_header_mm");
    CHECK(next_step(std::string(16, 'x'), profile) == need_more);
    CHECK(next_step(std::string(17, 'x'), profile) == noise(1));
    CHECK(next_step(std::string(500, 'x') + "\r", profile) == noise(485));
}

TEST_CASE("A frame of fixed length that proves bad is given up only to the next start") {
    const auto profile = shipped_profile("fixed_checksum");
    const auto frame = profile.recordings[1].chunks[0];
    REQUIRE(frame.size() == 16);
    CHECK(next_step(frame, profile) == complete(16));
    CHECK(next_step(frame.substr(0, 15), profile) == need_more);
    CHECK(next_step("abc" + frame, profile) == noise(3));
    CHECK(next_step("abc", profile) == noise(3));
    auto lost = frame;
    lost.erase(5, 1);
    CHECK(next_step(lost + frame, profile) == complete(15));
    CHECK(next_step("\x02" + frame, profile) == complete(1));
    auto changed = frame;
    changed[5] = changed[5] == '9' ? '8' : '9';
    CHECK(next_step(changed + frame, profile) == complete(16));
}

TEST_CASE("A lost stop byte costs its own frame and not the next") {
    const auto profile = shipped_profile("start_stop_checksum");
    const auto frame = profile.recordings[1].chunks[0];
    CHECK(next_step(frame, profile) == complete(frame.size()));
    CHECK(next_step(frame.substr(0, frame.size() - 1), profile) == need_more);
    CHECK(next_step(frame.substr(0, frame.size() - 1) + frame, profile) == complete(frame.size() - 1));
    CHECK(next_step("x" + frame, profile) == noise(1));
    CHECK(next_step("\x02" + std::string(30, 'x'), profile) == complete(20));
    CHECK(next_step("\x02" + std::string(30, 'x') + "\x03", profile) == complete(20));
}

TEST_CASE("Framing any bytes at all ends, accounts for every byte, and keeps the buffer small") {
    for (const auto& profile : all_profiles()) {
        INFO(profile.id);
        const auto good = profile.recordings.front().chunks.front();
        CHECK(rc::check(profile.id, [&](const std::vector<std::uint8_t>& parts) {
            // Bytes that matter to this profile come often: pieces of its own frame between any bytes.
            std::string bytes;
            for (const auto part : parts) {
                if (part % 4 == 0) {
                    bytes += good.substr(0, part % (good.size() + 1));
                } else if (part % 4 == 1) {
                    bytes += good.substr(part % good.size());
                } else {
                    bytes += static_cast<char>(part);
                }
            }
            std::string buffer;
            std::size_t taken = 0;
            for (const char c : bytes) {
                buffer += c;
                for (auto step = next_step(buffer, profile); step.kind != Kind::need_more;
                     step = next_step(buffer, profile)) {
                    RC_ASSERT(step.n > 0u);
                    RC_ASSERT(step.n <= buffer.size());
                    taken += step.n;
                    buffer.erase(0, step.n);
                }
                RC_ASSERT(buffer.size() <= profile.longest_frame());
            }
            RC_ASSERT(taken + buffer.size() == bytes.size());
        }));
    }
}
