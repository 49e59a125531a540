// The questions that a profile answers about itself; its text form is read in profile_toml.cpp.
#include "drivers/profile.h"

namespace crimpgate {

std::string_view Profile::request() const {
    const auto* polled = std::get_if<Polled>(&trigger);
    return polled ? std::string_view(polled->request) : std::string_view();
}

const Stillness* Profile::stillness() const {
    if (const auto* continuous = std::get_if<Continuous>(&trigger)) return &continuous->stillness;
    if (const auto* polled = std::get_if<Polled>(&trigger); polled && polled->stillness) return &*polled->stillness;
    return nullptr;
}

int Profile::min_gap_ms() const {
    if (const auto* press = std::get_if<OnPress>(&trigger)) return press->min_gap_ms;
    if (const auto* polled = std::get_if<Polled>(&trigger); polled && !polled->stillness) return polled->min_gap_ms;
    return 0;
}

std::size_t Profile::longest_frame() const {
    if (const auto* fixed = std::get_if<FixedFraming>(&framing)) return fixed->length;
    if (const auto* line_framing = std::get_if<LineFraming>(&framing)) return line_framing->max_length;
    return std::get<StartStopFraming>(framing).max_length;
}

}  // namespace crimpgate
