#include "tools/year/shop.h"

#include <fmt/format.h>

namespace crimpgate::year {

std::vector<Person> people() {
    return {{setter, "Veit Ambros", Role::setter},         {leads[0], "Runa Falk", Role::lead},
            {leads[1], "Tell Okara", Role::lead},          {operators[0], "Mira Sund", Role::operator_},
            {operators[1], "Jona Breck", Role::operator_}, {operators[2], "Edda Lorn", Role::operator_}};
}

SpecRow spec_row(std::size_t number) {
    struct Kind {
        std::int64_t dash, diameter_um, depth_um, cut_off_um, hose_bar;
    };
    static constexpr Kind kinds[spec_count] = {{8, 25'500, 38'000, 31'000, 275},
                                               {6, 22'300, 34'000, 28'000, 330},
                                               {12, 31'800, 44'000, 36'000, 215},
                                               {4, 18'600, 30'000, 25'000, 400}};
    const Kind& kind = kinds[number];
    SpecRow row;
    row.spec_id = fmt::format("TW2-{:02}", kind.dash);
    row.revision = "3";
    row.hose.maker = "Tannwerk";
    row.hose.type = "Kordel 2";
    row.hose.dash = kind.dash;
    row.hose.working_pressure = {Pressure::from_bar(kind.hose_bar), fmt::format("{} bar", kind.hose_bar)};
    row.hose.bend_radius = 150'000_um;
    row.fitting.maker = "Tannwerk";
    row.fitting.series = "Dorn";
    row.fitting.dash = kind.dash;
    row.fitting.working_pressure = {Pressure::from_bar(420), "420 bar"};
    row.fitting.cut_off = Length::from_um(kind.cut_off_um);
    row.die_set = fmt::format("DS-{}", kind.diameter_um / 1000);
    row.crimper = "C-1";
    row.setting = "4.20";
    row.die_segments = 8;
    row.crimp = {Length::from_um(kind.diameter_um), 200_um, 200_um};
    row.flats = {1, 3, 6};
    row.spread_limit = 200_um;
    row.depth = {Length::from_um(kind.depth_um), 500_um, 1'000_um};
    row.mark_edge_limit = 1'000_um;
    row.recrimps_allowed = 1;
    row.source = "invented for the generated year";
    return row;
}

entries::GaugeRegistered caliper(std::size_t number, const std::string& calibrated, const std::string& due) {
    entries::GaugeRegistered g;
    g.gauge = calipers[number];
    g.profile = "ascii_header_mm";
    g.resolution = 10_um;
    g.uncertainty = 12_um;
    g.proof_limit = 20_um;
    g.calibrated = calibrated;
    g.calibration_due = due;
    g.certificate = fmt::format("KZ-{}", 2201 + number);
    return g;
}

const std::vector<Customer>& customers() {
    static const std::vector<Customer> all = {{"Marlow Quarry", "MQ-7"},
                                              {"Hafen Nord", "HN-77"},
                                              {"Ostrand Harvesters", "OH-12-B"},
                                              {"Brook & Tarn Cranes", "BT 4410"},
                                              {"Lindholm Forestry", "LF-301"}};
    return all;
}

}  // namespace crimpgate::year
