// A certificate as a customer gets it, in the hands of a stranger: their own verifier (tests/outside, Python) and ours
// without a station say the same, and both see one digit changed.
#include <boost/json.hpp>

#include "station/proof/hash.h"
#include "station/proof/signing_key.h"
#include "tests/reports/outside.h"
#include "tests/station/api_work.h"
#include "tests/support/bench_fixture.h"
#include "tests/support/build_folder.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using namespace crimpgate::test;
namespace json = boost::json;

namespace {

const std::string key = SigningKey("bench-1", KeyType::ed25519, Seed{7}).verifier().text();

struct Verifiers {
    explicit Verifiers(const std::string& file)
        : stranger(outside::run("/usr/bin/python3 -B " CRIMPGATE_SOURCE_DIR "/tests/outside/verify_evidence.py " +
                                file + " --key " + key)),
          ours(outside::run(build_folder() + "/tools/crimpgate verify " + file + " --key " + key)) {}
    outside::Answer stranger, ours;
};

std::string one_assembly(ApiStation& station) {
    ready_for_work(station);
    return work_assembly(station);
}

}  // namespace

TEST_CASE("R3: a stranger verifies a certificate and its evidence with the shop's key, and sees one digit changed") {
    ApiStation station;
    station.set_up();
    const std::string serial = one_assembly(station);
    auto lead = station.client("LEA", false);
    const auto issued = lead.post("/api/certificates", {{"subject", "serial"},
                                                        {"id", serial},
                                                        {"statement", "declaration"},
                                                        {"function", "QC lead"},
                                                        {"independent", false}});
    REQUIRE(issued);
    REQUIRE(issued->status == 200);
    for (const char* name : {"/api/certificates/CF-1.pdf", "/api/certificates/CF-1.json"}) {
        const auto got = lead.get(name);
        REQUIRE(got);
        REQUIRE(got->status == 200);
        const outside::PdfFile file(got->text);
        const Verifiers good(file.path());
        INFO(name << "\n" << good.stranger.out << good.ours.out);
        CHECK(good.stranger.exit_code == 0);
        CHECK(good.ours.exit_code == 0);
        CHECK(good.stranger.out.find("about " + serial) != std::string::npos);

        // A digit of a reading where it stands in the open, or one byte in the middle of the paper.
        std::string other = got->text;
        const auto reading = other.find("25500000");
        const auto at = reading == std::string::npos ? other.size() / 2 : reading;
        other[at] = static_cast<char>(other[at] ^ 1);
        const outside::PdfFile changed(other);
        const Verifiers bad(changed.path());
        INFO(bad.stranger.out << bad.ours.out);
        CHECK(bad.stranger.exit_code == 1);
        CHECK(bad.ours.exit_code == 1);
        CHECK(bad.ours.out.find("NOT PROVED. Nothing in it") != std::string::npos);
    }
}
