// A small gauge study and a sample on a whole station, for whoever tests what becomes of them.
#pragma once

#include <string>

#include <boost/json.hpp>

#include "api_station.h"
#include "tests/support/bench_fixture.h"
#include "tests/support/catch.h"

namespace crimpgate::test {

namespace json = boost::json;

inline ApiReply must(const Result<ApiReply>& reply) {
    if (!reply) FAIL(reply.error().code);
    return *reply;
}

inline json::object plan_body() {
    return {{"kind", "repeatability"},
            {"gauge", "CAL-1"},
            {"pieces", json::array{json::object{{"piece", "P1"}}, json::object{{"piece", "P2"}}}},
            {"people", json::array{"OPA", "LEB"}},
            {"trials", 2},
            {"lower_nm", 25'300'000},
            {"upper_nm", 25'700'000}};
}

inline json::object approve_body() {
    return {{"study", "GS-1"},
            {"calibration_expanded_nm", 6'000},
            {"calibration_k_permille", 2'000},
            {"temperature_half_width_mk", 2'000},
            {"length_nm", 25'500'000},
            {"reason", "yearly study"}};
}

inline json::object step_of(ApiStation& station) {
    auto client = station.client("AUD", false);
    return must(client.get("/api/bench")).json.at("step").as_object();
}

inline void run(ApiStation& station, const Command& command, const std::string& who) {
    if (const auto code = station.run(command, who); !code.empty()) FAIL(code);
}

// As many turns as the study has left, or `most` of them. P1 reads 25.40, P2 25.60 mm; LEB 0.02 more; the second time
// 0.01 more.
inline void measure(ApiStation& station, int most = 100) {
    for (int i = 0; i < most; ++i) {
        const auto step = step_of(station);
        if (step.at("ask") != "study") return;
        const std::string person(step.at("person").as_string());
        run(station, commands::SignIn{}, person);
        const bool late = step.at("turn").as_int64() > step.at("turns").as_int64() / 2;
        const int hundredths = (step.at("piece") == "P1" ? 2540 : 2560) + (person == "LEB" ? 2 : 0) + (late ? 1 : 0);
        station.press("25." + std::to_string(hundredths - 2500));
    }
}

inline void begin(ApiStation& station) {
    run(station, commands::SignIn{}, "OPA");
    run(station, commands::BeginStudy{"GS-1"}, "OPA");
    run(station, commands::ProveGauge{"CAL-1", "RING-25"}, "OPA");
    station.press("25.00");
}

// A shift by OPA in which one assembly was made and passed.
inline void make_one(ApiStation& station) {
    using namespace commands;
    run(station, SignIn{}, "OPA");
    run(station, StartShift{}, "OPA");
    run(station, ProveGauge{"CAL-1", "RING-25"}, "OPA");
    station.press("25.00");
    run(station, TakeOrder{"A-100"}, "OPA");
    run(station, ConfirmLots{"H-1", "FA-1", "FB-1"}, "OPA");
    const auto row = bench_row();
    run(station, ConfirmDie{row.die_set, row.crimper, row.setting}, "OPA");
    for (std::size_t i = 0; i < row.flats.size(); ++i)
        station.press("25.50");
    for (int end = 0; end < 2; ++end) {
        station.press("38.20");
        run(station, Confirm{Characteristic::lubricant, true, {}}, "OPA");
        run(station, Confirm{Characteristic::mark_before, {}, MarkSeen::at_edge}, "OPA");
        for (std::size_t i = 0; i < row.flats.size(); ++i)
            station.press("25.50");
        run(station, Confirm{Characteristic::mark_after, {}, MarkSeen::at_edge}, "OPA");
        run(station, Confirm{Characteristic::bore_pin, true, {}}, "OPA");
    }
}

inline json::object draw_body(const std::string& shift) {
    return {{"shift", shift}, {"plan", "zero_acceptance"}, {"quality_ppm", 50'000}, {"confidence_permille", 900}};
}

}  // namespace crimpgate::test
