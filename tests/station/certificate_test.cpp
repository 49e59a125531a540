// Certificates from a bench that has really worked: what they rest on, what stands in their way, what they never tell.
#include "tests/support/catch.h"

#include <boost/json.hpp>
#include <set>

#include "station/daemon/certificate_data.h"
#include "station/daemon/certificate_issue.h"
#include "station/daemon/evidence_source.h"
#include "station/entries/entry_json.h"
#include "station/journal/evidence_entries.h"
#include "station/proof/paper_seal.h"
#include "station/words/catalogue.h"
#include "tests/reports/outside.h"
#include "tests/station/certificate_kit.h"

using namespace crimpgate;
using namespace crimpgate::test;

namespace {

std::set<std::string> types_in(const std::vector<Entry>& entries) {
    std::set<std::string> out;
    for (const auto& entry : entries)
        out.insert(entry.type);
    return out;
}

}  // namespace

TEST_CASE("the evidence of an assembly holds what speaks of it and what it stands on, and a stranger can check it") {
    Shop shop;
    const auto serial = shop.good();
    const auto checkpoint = shop.checkpoint();
    const auto customer = shop.bench.assembly(serial).started.customer;
    const auto gathered = must(evidence_of(shop.journal(), {serial}, customer, checkpoint));
    const auto types = types_in(gathered.entries);
    for (const auto* wanted : {"assembly.started", "reading.taken", "step.confirmed", "end.judged", "assembly.passed",
                               "order.opened", "gauge.registered", "gauge.proved", "reference.registered",
                               "shift.started", "die.confirmed", "setup.judged", "key.made"}) {
        INFO(wanted);
        CHECK(types.contains(wanted));
    }
    for (std::size_t i = 1; i < gathered.entries.size(); ++i)
        CHECK(gathered.entries[i - 1].seq < gathered.entries[i].seq);

    const auto file = write_evidence(gathered.evidence);
    auto back = must(read_evidence(file));
    const TrustedKeys trusted{station_key().verifier(), {}};
    CHECK(check_evidence(back, trusted).good());
    // One digit of one reading changed: found, and named.
    for (auto& entry : back.entries) {
        const auto at = entry.bytes.find("\"value_nm\":38");
        if (at == std::string::npos) continue;
        entry.bytes[at + 11] = '4';
        const auto check = check_evidence(back, trusted);
        CHECK_FALSE(check.good());
        CHECK(check.failed_seq == entry.seq);
        break;
    }
}

TEST_CASE("R12: evidence never holds another customer's entry, a person's entry or the hash of a secret") {
    Shop shop;
    const auto first = shop.good();
    shop.take_other_order();
    const auto other = shop.good();
    // It speaks of the assembly, but what a customer told of an accident is no part of a certificate.
    entries::ReturnOpened returned;
    returned.return_ = "RT-1";
    returned.serial = first;
    returned.customer = shop.bench.assembly(first).started.customer;
    returned.received = "2026-11-25";
    returned.reported = "a finger was caught";
    shop.add(returned, "LEA");
    const auto checkpoint = shop.checkpoint();
    const auto customer = shop.bench.assembly(first).started.customer;
    REQUIRE(shop.bench.assembly(other).started.customer == "Quillhaven (invented)");
    const auto file = write_evidence(must(evidence_of(shop.journal(), {first}, customer, checkpoint)).evidence);
    CHECK(file.find(customer) != std::string::npos);
    CHECK(file.find("Quillhaven") == std::string::npos);
    CHECK(file.find("B-200") == std::string::npos);
    CHECK(file.find(other) == std::string::npos);
    CHECK(file.find("a finger was caught") == std::string::npos);
    CHECK(file.find("$argon2id$") == std::string::npos);
    CHECK(file.find("person.added") == std::string::npos);
    // The journal has all of that: the search would find it.
    std::string whole;
    must(shop.journal().for_each([&](const Entry& entry) {
        whole += entry.bytes;
        return true;
    }));
    for (const auto* there : {"Quillhaven", "$argon2id$", "person.added", "B-200", "a finger was caught"})
        CHECK(whole.find(there) != std::string::npos);
    // Nobody gets two customers' assemblies under one roof.
    const auto both = evidence_of(shop.journal(), {first, other}, customer, checkpoint);
    REQUIRE_FALSE(both);
    CHECK(both.error().code == "certificate.other_customer");
    // Wherever in an entry another customer stands.
    Entry entry;
    entry.body = {{"customer", customer}};
    CHECK_FALSE(names_another_customer(entry, customer));
    entry.body = {{"customers", {customer, "Quillhaven (invented)"}}};
    CHECK(names_another_customer(entry, customer));
    entry.body = {{"rows", {{{"customer", "Quillhaven (invented)"}, {"serial", first}}}}};
    CHECK(names_another_customer(entry, customer));
    for (const auto* inside : {"person.added", "person.secret_set", "session.begun", "link.made", "link.looked",
                               "recall.drawn", "return.opened", "sample.drawn", "a.type.of.tomorrow"})
        CHECK_FALSE(may_be_evidence(inside));
}

TEST_CASE("R12: a certificate of a delivery says nothing of another customer, on no page and in no attachment") {
    Shop shop;
    const auto first = shop.good();
    shop.take_other_order();
    const auto other = shop.good();
    entries::DeliverySent sent;
    sent.delivery = "DL-1";
    sent.customer = shop.bench.assembly(first).started.customer;
    sent.note_number = "4711";
    sent.date = "2026-11-25";
    sent.to = "gate 2";
    sent.serials = {first};
    shop.add(sent, "LEA");
    const auto checkpoint = shop.checkpoint();
    const auto made =
        must(make_certificate(shop.journal(), Shop::asked("delivery", "DL-1"), shop.issuer(), checkpoint));
    CHECK(made.issued.serials == std::vector<std::string>{first});
    CHECK(made.issued.customer == sent.customer);
    const outside::PdfFile pdf(made.pdf);
    const auto text = pdf.text();
    CHECK(text.find(sent.customer) != std::string::npos);
    CHECK(text.find("4711") != std::string::npos);
    CHECK(text.find("Quillhaven") == std::string::npos);
    CHECK(text.find(other) == std::string::npos);
    CHECK(made.evidence.find("Quillhaven") == std::string::npos);
    CHECK(outside::run("qpdf --show-attachment=record.json " + pdf.path()).out == made.evidence);
    CHECK(made.issued.evidence_sha256 == to_hex(sha256(made.evidence)));
}

TEST_CASE("R1: no certificate for what has not passed; the refusal names each that stands in the way") {
    Shop shop;
    const auto good = shop.good();
    shop.bench.work_to(Characteristic::crimp_diameter);
    const auto open = shop.bench.serial();
    shop.flush();
    const auto checkpoint = shop.checkpoint();
    const auto order = shop.bench.assembly(good).started.order;
    auto refused = make_certificate(shop.journal(), Shop::asked("order", order), shop.issuer(), checkpoint);
    REQUIRE_FALSE(refused);
    CHECK(refused.error().code == "certificate.in_the_way");
    CHECK(refused.error().detail("serials") == open);
    const auto subject = must(certificate_subject(shop.journal(), "order", order));
    CHECK(subject.serials == std::vector<std::string>{good, open});
    CHECK(subject.in_way == std::vector<std::pair<std::string, std::string>>{{open, "in_work"}});
    CHECK(make_certificate(shop.journal(), Shop::asked("serial", open), shop.issuer(), checkpoint).error().code ==
          "certificate.in_the_way");
    CHECK(make_certificate(shop.journal(), Shop::asked("serial", good), shop.issuer(), checkpoint));
    CHECK(make_certificate(shop.journal(), Shop::asked("serial", "K9-9"), shop.issuer(), checkpoint).error().code ==
          "trace.no_serial");
    CHECK(make_certificate(shop.journal(), Shop::asked("order", "Z-9"), shop.issuer(), checkpoint).error().code ==
          "certificate.no_order");
    CHECK(make_certificate(shop.journal(), Shop::asked("delivery", "DL-9"), shop.issuer(), checkpoint).error().code ==
          "delivery.no_delivery");
}

TEST_CASE("R1: what passed and was put on hold afterwards gets no certificate, not even one that was made before") {
    Shop shop;
    const auto serial = shop.good();
    const auto checkpoint = shop.checkpoint();
    auto made = must(make_certificate(shop.journal(), Shop::asked("serial", serial), shop.issuer(), checkpoint));
    commands::HoldAssembly hold;
    hold.serial = serial;
    hold.reason = "the reel is in doubt";
    REQUIRE(shop.bench.ask(hold, "LEA").empty());
    shop.flush();
    CHECK(shop.bench.ask(commands::IssueCertificate{made.issued}, "LEA") == "certificate.not_passed");
    CHECK(make_certificate(shop.journal(), Shop::asked("serial", serial), shop.issuer(), checkpoint).error().code ==
          "certificate.in_the_way");
}

TEST_CASE("R1, R9: the bench has the last word on a certificate: a lead, the next number, every assembly passed") {
    Shop shop;
    const auto serial = shop.good();
    const auto checkpoint = shop.checkpoint();
    const auto made = must(make_certificate(shop.journal(), Shop::asked("serial", serial), shop.issuer(), checkpoint));
    auto& bench = shop.bench;
    const auto with = [&](auto change) {
        auto other = made.issued;
        change(other);
        return bench.ask(commands::IssueCertificate{other}, "LEA");
    };
    CHECK(bench.ask(commands::IssueCertificate{made.issued}, "OPA") == "bench.not_a_lead");
    CHECK(bench.ask(commands::IssueCertificate{made.issued}, "SET") == "bench.not_a_lead");
    CHECK(with([](auto& c) { c.certificate = "CF-2"; }) == "certificate.meanwhile");
    CHECK(with([](auto& c) { c.function.clear(); }) == "bench.field_empty");
    CHECK(with([](auto& c) { c.serials.clear(); }) == "certificate.nothing");
    CHECK(with([](auto& c) { c.serials = {"K9-9"}; }) == "trace.no_serial");
    CHECK(with([](auto& c) { c.customer = "Quillhaven (invented)"; }) == "certificate.other_customer");
    CHECK(with([](auto& c) { c.checkpoint_size = 3; }) == "certificate.not_covered");
    CHECK(with([](auto& c) { c.statement = "manner_3_1"; }) == "certificate.not_independent");
    CHECK(bench.ask(commands::IssueCertificate{made.issued}, "LEA").empty());
    CHECK(bench.state.record.certificates == 1);
    // The same again would be a second paper under one number.
    CHECK(bench.ask(commands::IssueCertificate{made.issued}, "LEA") == "certificate.meanwhile");
}

TEST_CASE("R12: the bench takes a certificate's link only to that very delivery, with its number, and both or none") {
    Shop shop;
    const auto serial = shop.good();
    const auto customer = shop.bench.assembly(serial).started.customer;
    entries::DeliverySent sent;
    sent.delivery = "DL-1";
    sent.customer = customer;
    sent.date = "2026-11-25";
    sent.to = "gate 2";
    sent.serials = {serial};
    shop.add(sent, "LEA");
    const auto checkpoint = shop.checkpoint();
    const auto of = must(make_certificate(shop.journal(), Shop::asked("delivery", "DL-1"), shop.issuer(), checkpoint));
    auto& bench = shop.bench;
    entries::LinkMade good;
    good.link = "TL-1";
    good.token_sha256 = std::string(64, 'e');
    good.customer = customer;
    good.delivery = "DL-1";
    good.certificate = "CF-1";
    const auto with = [&](auto change) {
        commands::IssueCertificate command{of.issued, good};
        command.certificate.link = "TL-1";
        change(command);
        return bench.ask(command, "LEA");
    };
    using C = commands::IssueCertificate;
    CHECK(with([](C& c) { c.link->delivery = "DL-2"; }) == "certificate.link_not_of_it");
    CHECK(with([](C& c) { c.link->delivery.clear(); }) == "certificate.link_not_of_it");
    CHECK(with([](C& c) { c.link->customer = "Quillhaven (invented)"; }) == "certificate.link_not_of_it");
    CHECK(with([&](C& c) {
              c.certificate.subject = "serial";
              c.certificate.subject_id = serial;
          }) == "certificate.link_not_of_it");
    CHECK(with([](C& c) { c.link.reset(); }) == "certificate.link_not_of_it");
    CHECK(with([](C& c) { c.link->link = c.certificate.link.emplace("TL-2"); }) == "certificate.meanwhile");
    CHECK(with([](C& c) { c.certificate.link.reset(); }) == "certificate.meanwhile");
    CHECK(with([](C& c) { c.certificate.certificate = "CF-2"; }) == "certificate.meanwhile");
    CHECK(bench.state.record.links.empty());
    const auto before = bench.log.size();
    CHECK(with([](C&) {}).empty());
    CHECK(bench.log.size() == before + 2);
    CHECK(bench.state.record.links.size() == 1);
    CHECK(bench.state.record.certificates == 1);
}

TEST_CASE("a pass that no signed state of the record covers proves nothing, and gets no certificate") {
    Shop shop;
    const auto first = shop.good();
    const auto checkpoint = shop.checkpoint();
    const auto second = shop.good();
    CHECK(make_certificate(shop.journal(), Shop::asked("serial", first), shop.issuer(), checkpoint));
    const auto refused = make_certificate(shop.journal(), Shop::asked("serial", second), shop.issuer(), checkpoint);
    REQUIRE_FALSE(refused);
    CHECK((refused.error().code == "certificate.not_covered" || refused.error().code == "trace.no_serial"));
}

TEST_CASE(
    "in the manner of 3.1 only by somebody who states that they are independent, and whom the record does not belie") {
    Shop shop;
    const auto serial = shop.good();  // by OPA
    const auto checkpoint = shop.checkpoint();
    auto asked = Shop::asked("serial", serial);
    asked.statement = CertificateStatement::manner_3_1;
    CHECK(make_certificate(shop.journal(), asked, shop.issuer(), checkpoint).error().code ==
          "certificate.not_independent");
    asked.independent = true;
    const auto made = must(make_certificate(shop.journal(), asked, shop.issuer(), checkpoint));
    CHECK(made.issued.independent);
    const auto text = outside::PdfFile(made.pdf).text("-l 1");
    CHECK(text.find("In the manner of EN 10204:2004, 3.1") != std::string::npos);
    CHECK(text.find("QC lead") != std::string::npos);
    CHECK(make_certificate(shop.journal(), asked, shop.issuer("OPA"), checkpoint).error().code ==
          "certificate.releaser_measured");
}

TEST_CASE("R1: what a lead let through says so in plain letters, with what did not conform") {
    Shop shop;
    auto& bench = shop.bench;
    bench.work_to(Characteristic::crimp_diameter);
    const auto serial = bench.serial();
    bench.press_crimps({"25.28"});  // below 25.30: undersize, never a re-crimp (R7)
    bench.finish();
    REQUIRE(bench.assembly(serial).stage == Stage::on_hold);
    bench.quarantine(serial);
    commands::SettleHold settle;
    settle.serial = serial;
    settle.how = Settlement::concession;
    settle.reason = "runs below 100 bar";
    settle.customer_reference = "FH-QA 2026/118";
    REQUIRE(bench.ask(settle, "LEA").empty());
    REQUIRE(bench.ask(commands::TakeUp{serial}).empty());
    bench.press_crimps({"25.34", "25.34"});  // near enough to the first for the spread
    bench.finish();
    REQUIRE(bench.assembly(serial).stage == Stage::passed);
    const auto checkpoint = shop.checkpoint();
    const auto gathered =
        must(evidence_of(shop.journal(), {serial}, bench.assembly(serial).started.customer, checkpoint));
    const auto data = must(certificate_data(gathered.entries, {{serial}, {}}));
    REQUIRE(data.assemblies.size() == 1);
    const auto& a = data.assemblies[0];
    CHECK(a.on_concession());
    CHECK(a.concession_reference == "FH-QA 2026/118");
    REQUIRE(a.concessions.size() == 1);
    CHECK(a.concessions[0].by == "LEA");
    const auto worst = worst_margin(a);
    REQUIRE(worst);
    CHECK(*worst->reading->margin == -20_um);
    CHECK(worst->reading->conceded);
    const auto made = must(make_certificate(shop.journal(), Shop::asked("serial", serial), shop.issuer(), checkpoint));
    const auto page = outside::PdfFile(made.pdf).text("-l 1");
    CHECK(page.find("CONCESSION: 1 of 1") != std::string::npos);
    CHECK(page.find("25.28 (fails)") != std::string::npos);
    CHECK(page.find("FH-QA 2026/118") != std::string::npos);
    CHECK(page.find("EXCEPT for what stands under CONCESSION") != std::string::npos);
}

TEST_CASE("R5, R6: a certificate has the limits, guards, uncertainties and spec row of the day, whatever holds since") {
    Shop shop;
    const auto serial = shop.good();
    auto& bench = shop.bench;
    const auto before = bench.assembly(serial).started.row_a;
    // Since then: a new revision with other limits and another rule, a new uncertainty, the gauge calibrated anew.
    auto row = before;
    row.revision = "99";
    row.crimp.nominal = 26'000_um;
    row.rule = {RuleKind::simple, 0};
    REQUIRE(bench.adopt({row}).empty());
    entries::UncertaintySet set;
    set.gauge = "CAL-1";
    set.uncertainty = 5_um;
    set.before = 12_um;
    shop.add(set, "LEA");
    auto again = caliper();
    again.uncertainty = 5_um;
    again.calibration_due = "2031-01-01";
    again.certificate = "ANEW-1";
    shop.add(again);
    const auto checkpoint = shop.checkpoint();
    const auto gathered =
        must(evidence_of(shop.journal(), {serial}, bench.assembly(serial).started.customer, checkpoint));
    const auto data = must(certificate_data(gathered.entries, {{serial}, {}}));
    REQUIRE(data.items.size() == 1);
    CHECK(data.items[0].row_a == before);
    REQUIRE(data.gauges.size() == 1);
    CHECK(data.gauges[0].due == caliper().calibration_due);
    CHECK(data.gauges[0].certificate != "ANEW-1");
    for (const auto& end : data.assemblies[0].ends)
        for (const auto& r : end.readings) {
            if (r.what != Characteristic::crimp_diameter) continue;
            CHECK(*r.uncertainty == 12_um);
            CHECK(*r.guard == Length::from_nm(19'800));  // 1.65 x 0.012 mm
            CHECK(*r.lower == 25'300_um);
            CHECK(*r.upper == 25'700_um);
        }
    const auto made = must(make_certificate(shop.journal(), Shop::asked("serial", serial), shop.issuer(), checkpoint));
    const auto text = outside::PdfFile(made.pdf).text();
    CHECK(text.find("Guarded acceptance after ISO 14253-1:2017") != std::string::npos);
    CHECK(text.find("Simple acceptance") == std::string::npos);
    CHECK(text.find("ANEW-1") == std::string::npos);
    CHECK(text.find("revision 99") == std::string::npos);
}

TEST_CASE("only the readings that count are on a certificate: a voided one and the crimp before a re-crimp are not") {
    Shop shop;
    auto& bench = shop.bench;
    bench.work_to(Characteristic::crimp_diameter);
    const auto serial = bench.serial();
    REQUIRE(bench.press("25.48").empty());
    REQUIRE(bench.ask(commands::VoidLast{"slipped off the flat"}).empty());
    bench.press_crimps({"25.84", "25.86", "25.85"});  // above 25.70: oversize
    bench.finish();
    REQUIRE(bench.assembly(serial).stage == Stage::on_hold);
    bench.quarantine(serial);
    bench.settle_ok(serial, Settlement::recrimp);
    REQUIRE(bench.ask(commands::TakeUp{serial}).empty());
    bench.finish();
    REQUIRE(bench.assembly(serial).stage == Stage::passed);
    const auto checkpoint = shop.checkpoint();
    const auto gathered =
        must(evidence_of(shop.journal(), {serial}, bench.assembly(serial).started.customer, checkpoint));
    const auto data = must(certificate_data(gathered.entries, {{serial}, {}}));
    const auto& a = data.assemblies.at(0);
    CHECK(a.recrimps.size() == 1);
    CHECK(a.ends[0].attempt == 2);
    CHECK_FALSE(a.on_concession());
    std::size_t crimps = 0;
    for (const auto& r : a.ends[0].readings)
        if (r.what == Characteristic::crimp_diameter) {
            ++crimps;
            CHECK(r.verdict == Verdict::conforms);
            CHECK(*r.value != 25'480_um);
        }
    CHECK(crimps == bench_row().flats.size());
    // The evidence keeps them all.
    std::string bytes;
    for (const auto& entry : gathered.entries)
        bytes += entry.bytes;
    CHECK(bytes.find("25480000") != std::string::npos);
    CHECK(bytes.find("25860000") != std::string::npos);
}

TEST_CASE("a sealed certificate is one that every reader of PDF still opens, and its seal covers every byte") {
    Shop shop;
    const auto serial = shop.good();
    const auto checkpoint = shop.checkpoint();
    const auto made = must(make_certificate(shop.journal(), Shop::asked("serial", serial), shop.issuer(), checkpoint));
    const auto key = station_key();
    const auto sealed = seal_paper(made.pdf, "CF-1", key);
    REQUIRE(check_seal(sealed, {key.verifier()}));
    const outside::PdfFile pdf(sealed);
    const auto checked = outside::run("qpdf --check " + pdf.path() + " 2>&1");
    CHECK(checked.exit_code == 0);
    CHECK(checked.out.find("WARNING") == std::string::npos);
    for (const auto* reader : {"pdfinfo ", "pdffonts ", "mutool info ", "pdfdetach -list "}) {
        const auto said = outside::run(reader + pdf.path() + " 2>&1");
        INFO(reader << said.out);
        CHECK(said.exit_code == 0);
        for (const auto* word : {"rror", "arning", "epair"})
            CHECK(said.out.find(word) == std::string::npos);
    }
    CHECK(outside::run("qpdf --show-attachment=record.json " + pdf.path()).out == made.evidence);
    auto changed = sealed;
    changed[changed.size() / 3] = static_cast<char>(changed[changed.size() / 3] ^ 1);
    CHECK_FALSE(check_seal(changed, {key.verifier()}));
}
