// The demo's second half: two more assemblies for another customer, each with a proof test, and what leaves the house:
// deliveries, a certificate, a customer's link.
#pragma once

#include <cstdint>
#include <string>

#include "tools/caliper/simulated_caliper.h"
#include "tools/hand/hand.h"
#include "tools/hand/shop.h"

namespace crimpgate {

inline constexpr const char* first_customer = "Fennick Harvesters (invented)";
inline constexpr const char* second_customer = "Tarnwick Forestry (invented)";

// Works the order WO-2043 to its end.
Result<void> work_tested_order(const ShopPlaces& places, SimulatedCaliper& caliper, std::uint16_t port,
                               const HandSettings& settings);

struct SentOut {
    std::int64_t first = 0, second = 0;  // assemblies in either delivery
    std::string delivery;                // to the first customer
    std::string certificate;             // its number
    std::string link;                    // address of the first customer's link, with its token
};

// The lead sends everything that may go, issues a certificate for the first delivery and makes its link. What the
// customer gets is put into the folder "outgoing": the certificate, link.txt with the link's address, and the shop's
// public keys in key.txt and tag-key.txt, which the customer would have from the shop's own page.
Result<SentOut> send_out(const ShopPlaces& places, std::uint16_t port, const HandSettings& settings);

}  // namespace crimpgate
