// The signed statement in a tag's code, from the bench's state to what a reader makes of the printed label.
#include "station/daemon/tag_code.h"

#include "station/daemon/tag_outbox.h"
#include "station/proof/tag_statement.h"
#include "tests/reports/outside.h"
#include "tests/station/desk_kit.h"

using namespace crimpgate;
using namespace crimpgate::test;

namespace {

const FontSet& fonts() {
    static const FontSet set = FontSet::load(FontSet::built_directory()).value();
    return set;
}

const SigningKey& tag_key() {
    static const SigningKey key("bench-1", KeyType::ed25519, tag_seed(Seed{7}));
    return key;
}

TagStatement statement_of(const TagData& tag) {
    const auto bytes = tag_bytes(tag.code_payload);
    REQUIRE(bytes);
    const auto statement = verify_tag(*bytes, "bench-1", tag_key().verifier().key);
    REQUIRE(statement);
    return *statement;
}

struct Signed {
    Signed() : serial(bench.good_assembly()), kit(bench) {
        settings.shop = "Corvane Hose Works (invented)";
        settings.folder = kit.folder / "tags";
        settings.tag_key = &tag_key();
    }
    const AssemblyState& assembly() const { return kit.desk->state().assemblies.at(serial); }
    TagData tag(std::int64_t copy = 0) const {
        return tag_of(kit.desk->state(), assembly(), settings, "bench-1", "2026-11-25", copy);
    }
    Bench bench = Bench::ready();
    std::string serial;
    DeskKit kit;
    TagSettings settings;
};

}  // namespace

TEST_CASE("without a key a tag's code is what it was: the serial") {
    Signed kit;
    kit.settings.tag_key = nullptr;
    CHECK(kit.tag().code_payload.empty());
    CHECK(kit.tag().code_fallback.empty());
}

TEST_CASE("R3: a tag's code says who made what, when, for which pressure and how near to a limit, under the tag key") {
    const Signed kit;
    const auto tag = kit.tag();
    CHECK(tag.code_payload.starts_with("CG1:"));
    CHECK(tag.code_fallback.empty());
    const auto statement = statement_of(tag);
    CHECK(statement.serial == kit.serial);
    CHECK(statement.order == kit.assembly().started.order);
    CHECK(statement.date == 20261125);
    CHECK(statement.pressure_kpa == tag.working_pressure.pressure.kpa());
    CHECK(statement.pressure_kpa > 0);
    CHECK_FALSE(statement.on_concession);
    CHECK(statement.station == "bench-1");
    // By the margins of every reading that counts, the nearest of them.
    Length nearest = 1000000_um;
    for (const End end : {End::a, End::b})
        for (const auto& finding : judge_end(kit.assembly().row(end), readings_of(kit.assembly().at(end))).findings)
            if (finding.margin) nearest = std::min(nearest, *finding.margin);
    CHECK(nearest > Length{});
    CHECK(statement.margin_um == nearest.nm() / 1000);
    CHECK_FALSE(verify_tag(*tag_bytes(tag.code_payload), "bench-2", tag_key().verifier().key));
}

TEST_CASE("with the shop's link the code is that link, and the bare statement stands by for labels without room") {
    Signed kit;
    kit.settings.link = "https://shop.example/";
    const auto tag = kit.tag();
    CHECK(tag.code_payload.starts_with("HTTPS://SHOP.EXAMPLE/C/"));
    CHECK(tag.code_fallback.starts_with("CG1:"));
    CHECK(*tag_bytes(tag.code_payload) == *tag_bytes(tag.code_fallback));
    CHECK(statement_of(tag).serial == kit.serial);
}

TEST_CASE("R11: a reprint's code says the same as the tag's: it is one assembly, and the letters say which copy") {
    const Signed kit;
    CHECK(kit.tag(1).code_payload == kit.tag(0).code_payload);
    CHECK(kit.tag(1).reprint == 1);
}

TEST_CASE("a margin beyond a limit is negative and rounded away from the band, never towards it") {
    Signed kit;
    auto assembly = kit.assembly();
    const auto row = assembly.row(End::a);
    for (auto& record : assembly.ends[0].records)
        if (record.measured && record.what == Characteristic::crimp_diameter)
            record.measured->value = row.crimp.band().upper + Length::from_nm(1'001);
    CHECK(worst_margin_um(assembly) == -2);
}

TEST_CASE("what is too long for a code is cut at a whole character and says so") {
    CHECK(cut_for_tag_code("WO-2041") == "WO-2041");
    CHECK(cut_for_tag_code("0123456789ABCDEF") == "0123456789ABCDEF");
    CHECK(cut_for_tag_code("0123456789ABCDEFG") == "0123456789ABC\u2026");
    CHECK(cut_for_tag_code("0123456789AB\u00D6\u00D6\u00D6") == "0123456789AB\u2026");  // 18 bytes; no half letter
    CHECK(cut_for_tag_code("").empty());
}

TEST_CASE("R3: the code on the file that goes to the printer is read by others and verifies") {
    Signed kit;
    TagOutbox outbox(*kit.kit.desk, fonts(), kit.settings, nullptr);
    REQUIRE(outbox.recover());
    const std::string pdf = (kit.settings.folder / (kit.serial + ".pdf")).string();
    const std::string image = (kit.settings.folder / "dots").string();
    REQUIRE(outside::run("pdftoppm -mono -png -singlefile -r 203 " + pdf + " " + image).exit_code == 0);
    for (const auto& read : {outside::zbar(image + ".png", "qrcode"), outside::zxing(image + ".png", "QRCode")}) {
        const auto bytes = tag_bytes(read);
        REQUIRE(bytes);
        const auto statement = verify_tag(*bytes, "bench-1", tag_key().verifier().key);
        REQUIRE(statement);
        CHECK(statement->serial == kit.serial);
    }
}
