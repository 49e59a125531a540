#include "tools/hand/shop.h"

#include <boost/json.hpp>
#include <fstream>
#include <iterator>

namespace crimpgate {

namespace json = boost::json;

namespace {

Result<std::string> read_text(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    if (!file) return refuse(message("hand.no_file").with("file", path));
    return std::string(std::istreambuf_iterator<char>(file), {});
}

// Fine, or refused because it is there already: an earlier try whose answer was lost.
Result<void> done(const Result<ApiReply>& reply, std::string_view known) {
    if (!reply) return refuse(reply.error());
    if (reply->ok() || reply->code() == known) return {};
    return refuse(message("hand.refused").with("code", reply->code()).with("words", reply->words()));
}

}  // namespace

HandSettings shop_settings() {
    HandSettings s;
    s.order = "WO-2041";
    s.gauge = "caliper-1";
    s.reference = "ring-25";
    s.hose_lot = "R1180";
    s.fitting_a_lot = "FA-0614";
    s.fitting_b_lot = "FB-0907";
    return s;
}

Result<std::string> write_configuration(const ShopPlaces& places, std::uint16_t port) {
    const std::string path = places.folder + "/station.toml";
    std::ofstream file(path, std::ios::binary | std::ios::trunc);
    file << "[station]\nid = \"bench-1\"\nshop = \"Corvane Hose Works (invented)\"\ntime_zone = \"Europe/Vienna\"\n"
         << "serial_prefix = \"K1\"\n\n[journal]\nfile = \"" << places.folder
         << "/journal.sqlite\"\n\n[http]\nport = " << port << "\n\n[tag]\nfolder = \"" << places.folder
         << "/tags\"\n\n[[gauge]]\nid = \"caliper-1\"\nport = \"" << places.gauge_port << "\"\nprofile = \""
         << places.source << "/drivers/profiles/signed_decimal_unit.toml\"\n";
    file.close();
    if (!file) return refuse(message("hand.no_file").with("file", path));
    return path;
}

Result<void> set_up(const ShopPlaces& places, std::uint16_t port, const std::string& first_code,
                    const HandSettings& settings) {
    const Crew& crew = settings.crew;
    ApiClient api("127.0.0.1", port);
    // With no code somebody is known already: this one, or an earlier try was killed before it could add anybody else.
    if (!first_code.empty()) {
        const json::object setter{{"person", crew.setter_id},
                                  {"name", "Ana Werle"},
                                  {"role", "setter"},
                                  {"pin", crew.setter_pin},
                                  {"code", first_code}};
        if (auto first = done(api.post("/api/people", setter), "bench.person_known"); !first) return first;
    }
    if (auto in = done(api.sign_in(crew.setter_id, crew.setter_pin), ""); !in) return in;
    const json::object others[] = {
        {{"person", crew.operator_id}, {"name", "Mirela Ošk"}, {"role", "operator"}, {"pin", crew.operator_pin}},
        {{"person", crew.lead_id}, {"name", "Tobin Rask"}, {"role", "lead"}, {"pin", crew.lead_pin}},
    };
    for (const auto& person : others)
        if (auto added = done(api.post("/api/people", person), "bench.person_known"); !added) return added;

    auto known = api.get("/api/gauges");
    if (!known) return refuse(known.error());
    if (known->text.find("\"" + settings.gauge + "\"") == std::string::npos) {
        // 0.012 mm: the root of the squares of resolution, calibration and repeatability of a shop's caliper.
        const json::object gauge{{"gauge", settings.gauge},
                                 {"resolution_nm", 10'000},
                                 {"uncertainty_nm", 12'000},
                                 {"proof_limit_nm", 20'000},
                                 {"calibrated", "2026-06-01"},
                                 {"calibration_due", "2099-05-31"},
                                 {"certificate", "CAL-0417 (invented)"}};
        if (auto added = done(api.post("/api/gauges", gauge), ""); !added) return added;
        const json::object reference{{"reference", settings.reference},
                                     {"kind", "setting ring"},
                                     {"size_nm", 25'000'000},
                                     {"certificate", "CAL-0388 (invented)"},
                                     {"calibration_due", "2099-05-31"}};
        if (auto added = done(api.post("/api/references", reference), ""); !added) return added;
    }
    auto orders = api.get("/api/orders");
    if (!orders) return refuse(orders.error());
    if (orders->text.find("\"" + settings.order + "\"") != std::string::npos) return {};
    const auto table = read_text(places.source + "/specs/examples/demo_table.csv");
    if (!table) return refuse(table.error());
    const json::object propose{{"name", "demo table"}, {"csv", *table}, {"acknowledge_warnings", true}};
    const auto proposed = api.post("/api/tables", propose);
    if (auto fine = done(proposed, ""); !fine) return fine;
    // The second signature is the lead's.
    const json::object lead{{"person", crew.lead_id}, {"pin", crew.lead_pin}};
    const json::object adopt{{"proposed_seq", proposed->json.at("entries").at(0).at("seq")}, {"by", lead}};
    if (auto adopted = done(api.post("/api/tables/adopt", adopt), ""); !adopted) return adopted;
    const auto order = read_text(places.source + "/specs/examples/demo_order.csv");
    if (!order) return refuse(order.error());
    return done(api.post("/api/orders", {{"csv", *order}}), "bench.order_known");
}

}  // namespace crimpgate
