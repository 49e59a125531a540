#include "tests/support/catch.h"

#include <limits>

#include "reports/audit/figures.h"

using namespace crimpgate;
using namespace crimpgate::audit;

TEST_CASE("R4: lengths become text by whole numbers, with more places only where they need them") {
    const LengthText mm(false), inch(true);
    CHECK(mm.exact(25'010_um) == "25.0100");
    CHECK(mm.exact(Length::from_nm(12'700)) == "0.0127");  // 0.0005 in
    CHECK(mm.exact(Length::from_nm(1'270)) == "0.00127");  // 0.00005 in
    CHECK(mm.exact(Length::from_nm(-1)) == "-0.000001");
    CHECK(inch.exact(Length::from_nm(12'700)) == "0.00050");
    CHECK(inch.exact(Length::from_nm(127)) == "0.000005");
    CHECK(inch.exact(10_um) == "0.00039");  // 0.000393700787...: no number of places holds it
    CHECK(mm.mean(-12.4) == "0.0000");      // never "-0.0000"
    CHECK(mm.sd(8862.27) == "0.00886");
}

TEST_CASE("percentages, seconds, chances and times have one form") {
    CHECK(percent_text(1, 3) == "33.3");
    CHECK(percent_text(1, 2000) == "0.1");  // 0.05, half a tenth up
    CHECK(percent_text(1, 0).empty());
    CHECK(seconds_text(1'250) == "1.3");
    CHECK(chance_text(0.01234) == "0.0123");
    CHECK(chance_text(0.0000123) == "1.2e-05");
    CHECK(number_text(-0.0004, 3) == "0.000");
    CHECK(number_text(std::numeric_limits<double>::infinity(), 3).empty());
    CHECK(time_text(1'764'057'600'120) == "2025-11-25T08:00:00.120Z");  // date -u -d @1764057600
    CHECK(time_text(0).empty());
}

TEST_CASE("a message is one spelling of JSON, whatever a person typed into it") {
    CHECK(message_text(message("a.b").with("z", "say \"no\"\n").with("a", "ä")) ==
          "{\"code\":\"a.b\",\"details\":{\"a\":\"ä\",\"z\":\"say \\\"no\\\"\\n\"}}");
}
