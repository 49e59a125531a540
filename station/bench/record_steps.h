// What may leave the house, for the decision and for whoever tells why not.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "specs/message.h"
#include "station/bench/state.h"

namespace crimpgate {

// One reason and all the serials that it stands against. A reason is one of "delivery.not_known", "delivery.twice",
// "delivery.other_customer", "delivery.on_hold", "delivery.not_passed", "delivery.gone_already" and
// "delivery.tag_not_printed".
struct DeliveryFault {
    std::string code;
    std::vector<std::string> serials;
    // With count and serials: the first ones by name, of more how many they are.
    Message told() const;
};

// What speaks against sending these to that customer, all of it at once, each serial under the first reason that holds;
// empty when all may go.
std::vector<DeliveryFault> delivery_faults(const BenchState& state, const std::string& customer,
                                           const std::vector<std::string>& serials);

// What speaks against taking these back out of that delivery: "delivery.not_known", "delivery.twice",
// "delivery.not_in_it".
std::vector<DeliveryFault> take_back_faults(const BenchState& state, const std::string& delivery,
                                            const std::vector<std::string>& serials);

// So many serials are named before the rest is counted.
inline constexpr std::size_t serials_named = 8;

}  // namespace crimpgate
