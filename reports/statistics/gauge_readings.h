// What every gauge study asks of its readings: that there are enough, and that each is a number.
//
// Refusals: "gauge_study.too_few_readings" (found, least), "gauge_study.not_a_number" (which, from 1).
#pragma once

#include <cmath>
#include <cstddef>
#include <span>
#include <string>

#include "specs/message.h"

namespace crimpgate::statistics {

inline Result<void> sound_readings(std::span<const double> readings, std::size_t least) {
    if (readings.size() < least)
        return refuse(message("gauge_study.too_few_readings")
                          .with("found", std::to_string(readings.size()))
                          .with("least", std::to_string(least)));
    for (std::size_t i = 0; i < readings.size(); ++i)
        if (!std::isfinite(readings[i]))
            return refuse(message("gauge_study.not_a_number").with("which", std::to_string(i + 1)));
    return {};
}

}  // namespace crimpgate::statistics
