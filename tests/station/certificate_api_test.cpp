// Certificates over HTTP: issued by a lead from a bench that has worked, listed, fetched, and what is refused.
#include "tests/support/catch.h"

#include <boost/json.hpp>
#include <filesystem>
#include <fstream>

#include "station/proof/evidence.h"
#include "station/proof/paper_seal.h"
#include "tests/reports/outside.h"
#include "tests/station/api_work.h"
#include "tests/support/bench_fixture.h"

using namespace crimpgate;
using namespace crimpgate::test;
namespace json = boost::json;

namespace {

ApiReply must(const Result<ApiReply>& reply) {
    if (!reply) FAIL(reply.error().code);
    return *reply;
}

VerifierKey station_key() {
    return SigningKey("bench-1", KeyType::ed25519, Seed{7}).verifier();
}

// One whole assembly and the depth of a second one, by OPA; the two serials.
std::pair<std::string, std::string> work(ApiStation& station) {
    ready_for_work(station);
    work_assembly(station);
    station.press("38.20");
    std::vector<std::string> serials;
    for (const auto& entry : station.entries())
        if (entry.type == "assembly.started") serials.emplace_back(entry.body.at("serial").as_string());
    REQUIRE(serials.size() == 2);
    return {serials[0], serials[1]};
}

json::object body_for(const std::string& serial) {
    return {{"subject", "serial"},
            {"id", serial},
            {"statement", "declaration"},
            {"function", "QC lead"},
            {"independent", false}};
}

}  // namespace

TEST_CASE("a lead issues a certificate; its files come back as they were issued, sealed and with their proof") {
    ApiStation station;
    station.set_up();
    const auto [serial, open] = work(station);
    auto lead = station.client("LEA", false);
    const auto issued = must(lead.post("/api/certificates", body_for(serial)));
    INFO(issued.text);
    REQUIRE(issued.status == 200);
    CHECK(issued.json.at("certificate") == "CF-1");

    const auto pdf = must(lead.get("/api/certificates/CF-1.pdf"));
    REQUIRE(pdf.status == 200);
    CHECK(pdf.header("content-type") == "application/pdf");
    CHECK(pdf.header("content-disposition") == "attachment; filename=\"CF-1.pdf\"");
    CHECK(to_hex(sha256(pdf.text)) == std::string(issued.json.at("pdf_sha256").as_string()));
    const auto seal = check_seal(pdf.text, {station_key()});
    REQUIRE(seal);
    CHECK(seal->number == "CF-1");

    const auto evidence = must(lead.get("/api/certificates/CF-1.json"));
    REQUIRE(evidence.status == 200);
    const outside::PdfFile file(pdf.text);
    CHECK(outside::run("qpdf --show-attachment=record.json " + file.path()).out == evidence.text);
    CHECK(file.text().find(serial) != std::string::npos);
    const auto read = read_evidence(evidence.text);
    REQUIRE(read);
    CHECK(check_evidence(*read, {station_key(), {}}).good());
    CHECK(evidence.text.find("$argon2id$") == std::string::npos);

    const auto list = must(lead.get("/api/certificates?serial=" + serial));
    REQUIRE(list.json.at("certificates").as_array().size() == 1);
    const auto& one = list.json.at("certificates").at(0);
    CHECK(one.at("certificate") == "CF-1");
    CHECK(one.at("function") == "QC lead");
    CHECK(one.at("who") == "LEA");
    CHECK(must(lead.get("/api/certificates?serial=" + open)).json.at("certificates").as_array().empty());
    // In German, on the other paper, with the next number.
    auto german = body_for(serial);
    german["language"] = "de";
    german["paper"] = "letter";
    REQUIRE(must(lead.post("/api/certificates", german)).status == 200);
    const outside::PdfFile second(must(lead.get("/api/certificates/CF-2.pdf")).text);
    CHECK(second.text().find("Konformit\u00E4tserkl\u00E4rung") != std::string::npos);
    CHECK(outside::run("pdfinfo " + second.path()).out.find("612 x 792") != std::string::npos);
}

TEST_CASE("R1: over HTTP too nothing is issued while something stands in the way, and it is said what") {
    ApiStation station;
    station.set_up();
    const auto [serial, open] = work(station);
    auto lead = station.client("LEA", false);
    const auto before = station.last_seq();
    const auto refused = must(lead.post("/api/certificates", body_for(open)));
    CHECK(refused.status == 409);
    CHECK(refused.code() == "certificate.in_the_way");
    REQUIRE(refused.json.at("in_the_way").as_array().size() == 1);
    CHECK(refused.json.at("in_the_way").at(0) == json::object{{"serial", open}, {"stage", "in_work"}});
    auto order = body_for("A-100");
    order["subject"] = "order";
    CHECK(must(lead.post("/api/certificates", order)).code() == "certificate.in_the_way");
    CHECK(station.last_seq() == before);
    CHECK_FALSE(std::filesystem::exists(station.folder / "certificates"));
    for (const auto& [member, value, status] : {std::tuple{"id", "NOT-THERE", 404},
                                                {"subject", "pallet", 400},
                                                {"statement", "3.1", 400},
                                                {"function", "", 400},
                                                {"statement", "manner_3_1", 409}}) {
        auto body = body_for(serial);
        body[member] = value;
        INFO(member << " " << value);
        CHECK(must(lead.post("/api/certificates", body)).status == status);
    }
    CHECK(must(lead.get("/api/certificates")).json.at("certificates").as_array().empty());
    CHECK(must(lead.get("/api/certificates/CF-1.pdf")).status == 404);
}

TEST_CASE("a certificate's file that is not what was issued is not handed out") {
    ApiStation station;
    station.set_up();
    const auto [serial, open] = work(station);
    auto lead = station.client("LEA", false);
    REQUIRE(must(lead.post("/api/certificates", body_for(serial))).status == 200);
    {
        std::fstream file(station.folder / "certificates" / "CF-1.pdf",
                          std::ios::in | std::ios::out | std::ios::binary);
        file.seekp(700);
        file.put('x');
    }
    CHECK(must(lead.get("/api/certificates/CF-1.pdf")).code() == "certificate.file_changed");
    CHECK(must(lead.get("/api/certificates/CF-1.json")).status == 200);
    std::filesystem::remove(station.folder / "certificates" / "CF-1.json");
    CHECK(must(lead.get("/api/certificates/CF-1.json")).code() == "certificate.file_gone");
    CHECK(must(lead.get("/api/certificates/CF-1.exe")).status == 404);
    CHECK(must(lead.get("/api/certificates/CF-9.pdf")).status == 404);
}
