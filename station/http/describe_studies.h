// Descriptions of the bodies of the routes of gauge studies and samples for station/json/reflect.h.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include <boost/describe.hpp>

#include "station/bench/commands.h"
#include "station/entries/describe_entries.h"

namespace crimpgate {

namespace commands {

BOOST_DESCRIBE_STRUCT(BeginStudy, (), (study))
BOOST_DESCRIBE_STRUCT(LeaveStudy, (), ())
BOOST_DESCRIBE_STRUCT(VoidTurn, (), (reason))
BOOST_DESCRIBE_STRUCT(DropStudy, (), (study, reason))
BOOST_DESCRIBE_STRUCT(BeginSample, (), (sample))
BOOST_DESCRIBE_STRUCT(LeaveSample, (), ())

}  // namespace commands

namespace api {

struct PlanBody {
    StudyKind kind = StudyKind::repeatability;
    std::string gauge;
    std::vector<entries::StudyPiece> pieces;
    std::vector<std::string> people;
    std::int64_t trials = 0;
    Length lower;
    Length upper;
    std::optional<std::string> seed;  // not given: the station draws one
};
struct ApproveBody {  // what the study does not know; the rest is the station's to reckon
    std::string study;
    Length calibration_expanded;
    std::int64_t calibration_k_permille = 2000;
    std::int64_t temperature_half_width_mk = 0;
    Length length;
    std::string reason;
};
struct DrawBody {
    std::string shift;
    std::string plan;
    std::optional<std::string> level;
    std::optional<std::string> severity;
    std::int64_t quality_ppm = 0;
    std::optional<std::int64_t> confidence_permille;
    std::optional<std::string> seed;
};

BOOST_DESCRIBE_STRUCT(PlanBody, (), (kind, gauge, pieces, people, trials, lower, upper, seed))
BOOST_DESCRIBE_STRUCT(ApproveBody, (),
                      (study, calibration_expanded, calibration_k_permille, temperature_half_width_mk, length, reason))
BOOST_DESCRIBE_STRUCT(DrawBody, (), (shift, plan, level, severity, quality_ppm, confidence_permille, seed))

}  // namespace api
}  // namespace crimpgate
