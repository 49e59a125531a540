// Descriptions of the bodies of the audit's routes for station/json/reflect.h.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include <boost/describe.hpp>

#include "station/bench/commands.h"
#include "station/entries/describe_entries.h"

namespace crimpgate {

namespace commands {

BOOST_DESCRIBE_STRUCT(ReleaseLimits, (), (stream, chart, reason))
BOOST_DESCRIBE_STRUCT(SignOffShift, (), (shift, remark))

}  // namespace commands

namespace api {

struct FreezeBody {  // the limits themselves are reckoned from the journal
    std::string stream;
    ChartOf chart = ChartOf::means;
    std::int64_t from_seq = 0;
    std::int64_t to_seq = 0;
    std::vector<std::int64_t> left_out;
    std::string reason;
};

BOOST_DESCRIBE_STRUCT(FreezeBody, (), (stream, chart, from_seq, to_seq, left_out, reason))

}  // namespace api
}  // namespace crimpgate
