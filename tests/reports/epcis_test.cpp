// The events' file alone: exact figures, times with the shop's offset, names as given. Against the public schema it is
// held where it is made of a real record (tests/station/trace_page_test.cpp).
#include "reports/epcis.h"

#include "tests/support/catch.h"

using namespace crimpgate;

namespace {

EpcisMaker maker() {
    EpcisMaker out;
    out.station = "bench-1";
    out.created_ms = 1'741'064'767'089;  // 2025-03-04T05:06:07.089Z, as rfc3339.json of the references reckons
    out.uri = [](const std::string& kind, const std::string& id) {
        return "https://shop.example/id/" + kind + "/" + id;
    };
    out.offset_minutes = [](std::int64_t) { return -210; };  // Newfoundland in winter
    return out;
}

EpcisFacts facts() {
    EpcisAssembly a;
    a.serial = "K1000017";
    a.order = "WO \"1\"";
    a.hose_lot = "H-1";
    a.fitting_lots[0] = "F-1";
    a.fitting_lots[1] = "F-2";
    a.specs[0] = a.specs[1] = "S-1";
    a.cut_length = Length::from_nm(750'000'001);
    a.working_pressure = Pressure::from_kpa(27'550);
    a.started_ms = 1'741'064'767'089;
    a.passed_ms = 1'741'064'768'000;
    a.state = "conceded";
    a.concession = "FH-9";
    a.ends = {{"a", Length::from_nm(25'400'000), Length::from_nm(25'500'500), 25'450'250, 1'741'064'767'500, "CAL-1"}};
    a.proof_pressure = Pressure::from_kpa(55'005);
    return {{a}, {{"DL-1", "", 1'741'064'769'000, {"K1000017"}}}};
}

}  // namespace

TEST_CASE("R4: events hold exact decimals of the record's whole nanometres and kilopascals") {
    const auto text = epcis_json(facts(), maker());
    INFO(text);
    for (const auto* part :
         {"\"quantity\":0.750000001,\"uom\":\"MTR\"", "\"minValue\":25.4,\"maxValue\":25.5005,\"meanValue\":25.45025",
          "\"value\":550.05,\"uom\":\"BAR\"", "\"crimpgate:workingPressureKpa\":27550"})
        CHECK(text.find(part) != std::string::npos);
}

TEST_CASE("events have their time in UTC with the shop's offset beside it, and names as they were given") {
    const auto text = epcis_json(facts(), maker());
    INFO(text);
    for (const auto* part :
         {"\"eventTime\":\"2025-03-04T05:06:07.089Z\",\"eventTimeZoneOffset\":\"-03:30\"",
          "\"epcList\":[\"https://shop.example/id/serial/K1000017\"]", "\"crimpgate:order\":\"WO \\\"1\\\"\""})
        CHECK(text.find(part) != std::string::npos);
    // Two fittings of different lots are one each.
    CHECK(text.find("/lot/F-1\",\"quantity\":1}") != std::string::npos);
    auto alike = facts();
    alike.assemblies[0].fitting_lots[1] = "F-1";
    CHECK(epcis_json(alike, maker()).find("/lot/F-1\",\"quantity\":2}") != std::string::npos);
}

TEST_CASE("R1: what passed on a concession is not said to conform, and what did not pass was not inspected well") {
    CHECK(epcis_json(facts(), maker()).find("\"disposition\":\"non_conformant\"") != std::string::npos);
    CHECK(epcis_json(facts(), maker()).find("\"crimpgate:concession\":\"FH-9\"") != std::string::npos);
    auto fine = facts();
    fine.assemblies[0].state = "passed";
    CHECK(epcis_json(fine, maker()).find("\"disposition\":\"conformant\"") != std::string::npos);
    auto open = facts();
    open.assemblies[0].passed_ms.reset();
    CHECK(epcis_json(open, maker()).find("inspecting") == std::string::npos);
    auto doubted = facts();
    doubted.assemblies[0].state = "in_question";
    CHECK(epcis_json(doubted, maker()).find("\"disposition\":\"conformant\"") == std::string::npos);
}
