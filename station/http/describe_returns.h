// Descriptions of the bodies of the routes of returned hoses for station/json/reflect.h.
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

BOOST_DESCRIBE_STRUCT(BeginReturn, (), (return_))
BOOST_DESCRIBE_STRUCT(LeaveReturn, (), ())
BOOST_DESCRIBE_STRUCT(ReopenReturn, (), (return_, reason))

}  // namespace commands

namespace api {

struct OpenReturnBody {
    std::optional<std::string> serial;    // not given: not one of ours, or not readable
    std::optional<std::string> customer;  // who sent it
    std::optional<std::string> received;  // day; not given: today
    std::optional<std::string> reported;
    std::optional<bool> someone_hurt;
    std::optional<std::vector<entries::ReadOff>> read_off;
};
struct AnswerReturnBody {
    std::string return_;
    std::string question;
    std::string answer;  // several of them joined by "+"
    std::optional<std::string> text;
};
struct ConcludeReturnBody {
    std::string return_;
    std::optional<std::string> cause;  // not given: not known
    std::optional<std::string> remark;
    std::optional<std::string> bench_action;
    std::optional<std::string> application_action;
};

BOOST_DESCRIBE_STRUCT(OpenReturnBody, (), (serial, customer, received, reported, someone_hurt, read_off))
BOOST_DESCRIBE_STRUCT(AnswerReturnBody, (), (return_, question, answer, text))
BOOST_DESCRIBE_STRUCT(ConcludeReturnBody, (), (return_, cause, remark, bench_action, application_action))

}  // namespace api
}  // namespace crimpgate
