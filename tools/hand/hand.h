// A hand at the bench: reads what the bench asks for and does it, with a simulated caliper and through the API, as an
// operator and a QC lead would. Keeps nothing of the bench's state but what it has seen, so that it can go on after the
// daemon was killed at any moment.
#pragma once

#include <chrono>
#include <map>
#include <memory>
#include <set>
#include <string>

#include <boost/json/object.hpp>

#include "tools/caliper/simulated_caliper.h"
#include "tools/client/api_client.h"
#include "tools/hand/story.h"

namespace crimpgate {

struct Crew {
    std::string operator_id = "OP-07";
    std::string operator_pin = "480216";
    std::string lead_id = "QL-02";
    std::string lead_pin = "615942";
    std::string setter_id = "ST-01";
    std::string setter_pin = "739105";
};

struct HandSettings {
    Crew crew;
    std::string order;
    std::string gauge;
    std::string reference;
    std::string hose_lot;
    std::string fitting_a_lot;
    std::string fitting_b_lot;
    std::int64_t parts_before = 0;  // of earlier orders: the story's mishaps belong to the first one
};

class Hand {
  public:
    enum class Turn { acted, finished };

    Hand(HandSettings settings, SimulatedCaliper& caliper);

    // The daemon's door; anew after each start of it.
    void open(std::uint16_t port);
    // Does the one thing that the bench asks for now. An error means that the daemon could not be reached, or that it
    // refused what an operator may rightly do.
    Result<Turn> turn();

    // Every reading that the bench has shown us, by its number: what must still be there after any crash.
    const std::map<std::int64_t, std::int64_t>& shown() const { return shown_; }
    std::int64_t parts_started() const { return static_cast<std::int64_t>(parts_.size()); }

  private:
    Result<boost::json::object> bench();
    Result<void> post(const std::string& path, const boost::json::object& body);
    Result<void> act(const boost::json::object& bench, const boost::json::object& step, const std::string& ask);
    Result<void> measure(const boost::json::object& bench, const boost::json::object& step, const std::string& ask);
    Result<void> confirm(const boost::json::object& step);
    Result<void> test_proof(const boost::json::object& step);
    Result<void> quarantine(const boost::json::object& bench);
    Result<void> settle_holds();
    Result<Turn> end_of_shift(const boost::json::object& bench);
    // Presses, and waits until the bench has moved on from `seq`; gives up quietly after a while, and is asked again.
    Result<void> press(Length value, LengthUnit unit, std::int64_t seq);
    Result<void> unplug_and_plug();
    std::int64_t part_of(const std::string& serial);

    HandSettings settings_;
    SimulatedCaliper& caliper_;
    std::unique_ptr<ApiClient> api_;
    std::map<std::string, std::int64_t> parts_;
    std::set<std::string> mishaps_done_;
    std::map<std::string, bool> to_settle_;  // serial -> may be crimped again
    std::map<std::int64_t, std::int64_t> shown_;
    bool proved_at_end_ = false;
    Length last_pressed_;
    std::chrono::steady_clock::time_point last_press_;
};

}  // namespace crimpgate
