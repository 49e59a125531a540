// Somebody who sets a gauge up and watches its line: bytes, frames, readings and refusals, as a bounded stream.
//
// What is told is what the profile that they picked makes of the bytes; it goes nowhere else, so trying a profile on a
// gauge in use changes nothing of what the bench takes. Events wait in a ring; a reader who is too slow is told how
// many it missed. Single-threaded, like all of the station.
//
//   state    {"connected", "why": {"code", "details"}, "utc_ms"}
//   bytes    {"hex", "utc_ms"}
//   frame    {"hex", "utc_ms"}                     where the profile cuts one
//   reading  {"value_nm", "unit", "resolution_nm", "utc_ms"}
//   refused  {"why": {"code", "details"}, "hex", "utc_ms"}
//   missed   {"events"}
#pragma once

#include <cstdint>
#include <deque>
#include <functional>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include <boost/json/object.hpp>

#include "drivers/decoder.h"
#include "drivers/gauge_line.h"
#include "station/http/http_types.h"

namespace crimpgate {

class LineListener {
  public:
    static constexpr std::size_t ring_size = 400;

    // `wake`: there is more to read.
    LineListener(GaugeAddress address, Profile profile, std::function<void()> wake);

    const GaugeAddress& address() const { return address_; }
    const Profile& profile() const { return decoder_.profile(); }

    // As they came; none: time went by.
    void bytes(std::string_view bytes, Arrival at);
    void state(const LineState& state);

    // The events from id `from` on, `limit` at most.
    std::vector<StreamEvent> read(std::int64_t from, std::int64_t limit) const;

    // A line of its own, for as long as no gauge of the station's has that port.
    void take_line(std::unique_ptr<GaugeLine> line);
    void drop_line() { own_.reset(); }
    bool has_line() const { return own_ != nullptr; }

  private:
    void push(std::string_view event, boost::json::object data);
    void push(const std::vector<GaugeEvent>& events);
    void cut_frames(std::string_view bytes, Arrival at);
    void ask_now_and_then(Arrival at);

    GaugeAddress address_;
    Decoder decoder_;
    std::function<void()> wake_;
    std::unique_ptr<GaugeLine> own_;
    std::string pending_;  // of a frame not complete yet; what the decoder has pending too
    std::int64_t asked_ns_ = 0;
    std::deque<StreamEvent> ring_;
    std::int64_t next_id_ = 1;
};

}  // namespace crimpgate
