// What makes framing hard: bytes may be lost, added or changed anywhere, a frame may come in any number of pieces, and
// the line may be opened in the middle of one. So every shape is given up only as far as the next place where a frame
// may begin, and a line with rubbish before its frame is cut where the frame begins.
#include "drivers/framer.h"

#include <algorithm>

#include "drivers/frame_parser.h"

namespace crimpgate {
namespace {

FrameStep complete(std::size_t n) {
    return {FrameStep::Kind::complete, n};
}
FrameStep noise(std::size_t n) {
    return {FrameStep::Kind::noise, n};
}
FrameStep need_more() {
    return {};
}

// The first place at or after `from` where `start` stands, or where the buffer ends in a beginning of it.
std::size_t possible_start(std::string_view buffer, std::string_view start, std::size_t from) {
    for (std::size_t at = from; at < buffer.size(); ++at) {
        const auto there = buffer.substr(at, start.size());
        if (start.substr(0, there.size()) == there) return at;
    }
    return buffer.size();
}

// Only a frame that opens with something of its own can be told from what stands before it: fixed text, or a sign that
// is neither blank nor digit and does not follow another sign ("+-1" is in doubt, not a minus behind rubbish).
bool may_begin_at(std::string_view line, std::size_t at, const Profile& profile) {
    const auto& first = profile.pattern.front();
    if (std::holds_alternative<LiteralField>(first)) return true;
    const auto* sign = std::get_if<SignField>(&first);
    if (!sign) return false;
    const auto signs = sign->plus + sign->minus;
    const bool telling = line[at] != ' ' && !(line[at] >= '0' && line[at] <= '9');
    return telling && signs.find(line[at - 1]) == std::string::npos;
}

FrameStep line_step(std::string_view buffer, const LineFraming& framing, const Profile& profile) {
    const auto end = buffer.find(framing.terminator);
    if (end == std::string_view::npos)
        return buffer.size() > framing.max_length ? noise(buffer.size() - framing.max_length) : need_more();
    const auto n = end + framing.terminator.size();
    if (end == 0) return noise(n);  // an empty line
    if (n > framing.max_length) return noise(n - framing.max_length);
    const auto line = buffer.substr(0, n);
    if (is_well_formed(line, profile)) return complete(n);
    // Rubbish, or a frame that lost its terminator, may stand before a good frame.
    for (std::size_t skip = 1; skip < end; ++skip)
        if (may_begin_at(line, skip, profile) && is_well_formed(line.substr(skip), profile)) return noise(skip);
    return complete(n);
}

FrameStep fixed_step(std::string_view buffer, const FixedFraming& framing, const Profile& profile) {
    if (const auto at = possible_start(buffer, framing.start, 0); at > 0) return noise(at);
    if (buffer.size() < framing.length) return need_more();
    const auto frame = buffer.substr(0, framing.length);
    if (is_well_formed(frame, profile)) return complete(framing.length);
    // The true frame may begin inside this one: a byte was lost, or the start was rubbish.
    return complete(possible_start(frame, framing.start, 1));
}

FrameStep start_stop_step(std::string_view buffer, const StartStopFraming& framing) {
    if (const auto at = possible_start(buffer, framing.start, 0); at > 0) return noise(at);
    const auto body = framing.start.size();
    if (buffer.size() < body) return need_more();
    const auto stop = buffer.find(framing.stop, body);
    const auto again = buffer.find(framing.start, body);
    if (again < stop && again <= framing.max_length) return complete(again);  // the stop was lost
    if (stop != std::string_view::npos && stop + framing.stop.size() <= framing.max_length)
        return complete(stop + framing.stop.size());
    return buffer.size() > framing.max_length ? complete(framing.max_length) : need_more();
}

}  // namespace

FrameStep next_step(std::string_view buffer, const Profile& profile) {
    if (buffer.empty()) return need_more();
    if (const auto* line = std::get_if<LineFraming>(&profile.framing)) return line_step(buffer, *line, profile);
    if (const auto* fixed = std::get_if<FixedFraming>(&profile.framing)) return fixed_step(buffer, *fixed, profile);
    return start_stop_step(buffer, std::get<StartStopFraming>(profile.framing));
}

}  // namespace crimpgate
