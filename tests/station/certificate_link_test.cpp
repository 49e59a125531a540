// The customer's page by the address on a certificate: read off the paper as a telephone does, opened, taken back; and
// what is refused.
#include "tests/support/catch.h"

#include <algorithm>
#include <boost/json.hpp>
#include <future>
#include <set>

#include "station/http/link_token.h"
#include "station/proof/evidence.h"
#include "station/proof/paper_seal.h"
#include "station/proof/signing_key.h"
#include "terminal_kit.h"
#include "tests/reports/outside.h"
#include "trace_page_kit.h"

using namespace crimpgate;
using namespace crimpgate::test;
namespace json = boost::json;

namespace {

// As long as a configuration lets it be.
const std::string shop = "https://records.of-the-hose-works.corvane.example/customers";

bool holds(const std::string& text, const std::string& word) {
    return text.find(word) != std::string::npos;
}

json::object body_for(const std::string& delivery) {
    return {{"subject", "delivery"}, {"id", delivery},       {"statement", "declaration"},
            {"function", "QC lead"}, {"independent", false}, {"with_link", true}};
}

std::string word(const json::value& value) {
    return std::string(value.as_string());
}

std::string without_blanks(const std::string& text) {
    std::string out;
    std::copy_if(text.begin(), text.end(), std::back_inserter(out), [](char c) { return c != ' '; });
    return out;
}

}  // namespace

TEST_CASE(
    "R12: the code on a delivery's certificate, read off the print, opens that delivery to the customer and no other") {
    TraceStation s(shop);
    const auto& one = s.made[0];
    auto lead = s.station.client("LEA", false);
    std::set<std::string> tokens;
    for (const auto& [paper, language, until] : {std::tuple{"a4", "en", "2026-12-31"}, {"letter", "de", ""}}) {
        auto body = body_for(one.delivery);
        body["paper"] = paper;
        body["language"] = language;
        if (*until != 0) body["link_until"] = until;
        const auto issued = s.must(lead.post("/api/certificates", body));
        INFO(issued.text);
        REQUIRE(issued.status == 200);
        const std::string number(issued.json.at("certificate").as_string()), link(issued.json.at("link").as_string());

        const auto pdf = s.must(lead.get("/api/certificates/" + number + ".pdf"));
        REQUIRE(pdf.status == 200);
        const outside::PdfFile file(pdf.text);
        const auto address = outside::zbar(outside::png(file, 300), "qrcode");
        CHECK(outside::zbar(outside::png(file, 203), "qrcode") == address);
        REQUIRE(address.starts_with(shop + "/t/"));
        const auto token = address.substr(shop.size() + 3);
        CHECK(token.size() == 26);
        CHECK(tokens.insert(token).second);
        // On the first page, for whoever has no reader; and how long it is good.
        const auto page = file.text("-l 1");
        CHECK(holds(without_blanks(page), address));
        CHECK(holds(page, *until != 0                     ? "2026-12-31"
                          : language == std::string("en") ? "takes it back"
                                                          : "zur\u00FCcknimmt"));
        // The seal is over that, too.
        const auto key = SigningKey("bench-1", KeyType::ed25519, Seed{7}).verifier();
        REQUIRE(check_seal(pdf.text, {key}));
        auto changed = pdf.text;
        changed[changed.size() / 2] = static_cast<char>(changed[changed.size() / 2] ^ 1);
        CHECK_FALSE(check_seal(changed, {key}));

        // The token is on the paper and nowhere else.
        const auto evidence = s.must(lead.get("/api/certificates/" + number + ".json"));
        REQUIRE(evidence.status == 200);
        const auto list = s.must(lead.get("/api/certificates?serial=" + one.serial)),
                   links = s.must(lead.get("/api/links"));
        for (const auto& said : {issued.text, evidence.text, list.text, links.text})
            CHECK_FALSE(holds(said, token));
        const auto entries = s.station.entries();
        for (const auto& entry : entries)
            CHECK_FALSE(holds(entry.bytes, token));
        // Both or none: the link and the certificate that carries it stand one behind the other.
        const auto& made = entries[entries.size() - 2];
        REQUIRE(entries.back().type == "certificate.issued");
        REQUIRE(made.type == "link.made");
        CHECK(word(entries.back().body.at("link")) == link);
        CHECK(word(made.body.at("certificate")) == number);
        CHECK(word(made.body.at("delivery")) == one.delivery);
        CHECK(word(made.body.at("customer")) == one.customer);
        CHECK(word(made.body.at("valid_until")) == until);
        CHECK(word(made.body.at("token_sha256")) == link_token_hash(token));
        CHECK(word(list.json.at("certificates").at(0).at("link")) == link);
        CHECK(word(links.json.at("links").at(0).at("link")) == link);
        CHECK(word(links.json.at("links").at(0).at("certificate")) == number);

        // Every route, asked for everybody's: what is of that delivery, and nothing else.
        for (const auto& route : customer_routes())
            for (const auto& of : s.made) {
                const auto path = TraceStation::path(route, of);
                INFO(path);
                const auto reply = s.look(token, path);
                CHECK(reply.status == (route.about.empty() || &of == &one ? 200 : 404));
                std::string said = reply.text;
                if (reply.header("content-type") == "application/pdf") said = outside::PdfFile(reply.text).text();
                for (const auto* other : {&s.made[1], &s.made[2]})
                    for (const auto& word : other->telling())
                        CHECK_FALSE(holds(said, word));
            }
        CHECK(holds(s.look(token, "/list.json").text, one.serial));
        // It is good to that very paper, too: the same bytes.
        CHECK(s.look(token, "/certificate/" + number + ".pdf").text == pdf.text);

        s.run(commands::RevokeLink{link, "the paper was lost"}, "LEA");
        CHECK(s.look(token, "").status == 404);
        CHECK(s.look(token, "/list.json").status == 404);
        CHECK(s.must(lead.get("/api/certificates/" + number + ".pdf")).text == pdf.text);
    }
    // Another delivery's link does not lead to it.
    const auto two = s.link(one.customer, s.made[1].delivery);
    CHECK(s.look(two.token, "/certificate/CF-4.pdf").status == 404);
    const auto verified = s.must(s.station.client("SET", false).post("/api/journal/verify"));
    CHECK(verified.json.at("sound") == true);
}

TEST_CASE("R12: an address on a certificate is for a delivery alone, and needs a place where customers reach it") {
    const auto refused = [](TraceStation& s, const json::object& change) {
        auto body = body_for(s.made[0].delivery);
        for (const auto& [member, value] : change)
            body[member] = value;
        auto lead = s.station.client("LEA", false);
        const auto before = s.station.last_seq();
        const auto reply = s.must(lead.post("/api/certificates", body));
        CHECK(s.station.last_seq() == before);
        CHECK_FALSE(std::filesystem::exists(s.station.folder / "certificates" / "CF-4.pdf"));
        return std::to_string(reply.status) + " " + reply.code();
    };
    TraceStation s(shop);
    const auto& one = s.made[0];
    CHECK(refused(s, {{"subject", "serial"}, {"id", one.serial}}) == "409 certificate.link_of_delivery");
    CHECK(refused(s, {{"subject", "order"}, {"id", one.order}}) == "409 certificate.link_of_delivery");
    CHECK(refused(s, {{"link_until", "2026-11-24"}}) == "400 link.day_past");
    CHECK(refused(s, {{"link_until", "soon"}}).starts_with("400 date."));
    CHECK(refused(s, {{"with_link", false}, {"link_until", "2026-12-31"}}) == "400 certificate.until_of_no_link");
    CHECK(refused(s, {{"id", "DL-9"}}) == "404 delivery.no_delivery");
    CHECK(s.must(s.station.client("SET", false).post("/api/certificates", body_for(one.delivery))).status == 403);
    // Without the address it is issued as ever, and no link is made.
    auto plain = body_for(one.delivery);
    plain["with_link"] = false;
    REQUIRE(s.must(s.station.client("LEA", false).post("/api/certificates", plain)).status == 200);
    const auto entries = s.station.entries();
    CHECK_FALSE(entries.back().body.contains("link"));
    CHECK(std::none_of(entries.begin(), entries.end(), [](const Entry& e) { return e.type == "link.made"; }));
    CHECK(outside::zbar(
              outside::png(
                  outside::PdfFile(s.must(s.station.client("LEA", false).get("/api/certificates/CF-4.pdf")).text), 203),
              "qrcode")
              .empty());

    TraceStation nowhere;
    CHECK(refused(nowhere, {}) == "409 certificate.no_link_address");
}

TEST_CASE("certificates with an address that are asked for at one time, and a link beside them, all stay whole") {
    TraceStation s(shop);
    const auto issue = [&](const TraceStation::Made& of) {
        return std::async(std::launch::async, [&s, &of] {
            return s.station.client("LEA", false).post("/api/certificates", body_for(of.delivery));
        });
    };
    auto first = issue(s.made[0]), second = issue(s.made[2]);
    const auto beside = s.link(s.made[1].customer);
    std::size_t done = 0;
    for (auto* coming : {&first, &second}) {
        const auto reply = s.must(coming->get());
        INFO(reply.text);
        CHECK((reply.status == 200 || reply.code() == "certificate.meanwhile"));
        done += reply.status == 200 ? 1 : 0;
    }
    CHECK(done >= 1);
    auto lead = s.station.client("LEA", false);
    const auto links = s.must(lead.get("/api/links")).json.at("links").as_array();
    CHECK(links.size() == done + 1);
    std::set<std::string> papers;
    for (const auto& link : links) {
        if (word(link.at("link")) == beside.number) continue;
        const std::string number(link.at("certificate").as_string());
        CHECK(papers.insert(number).second);
        const auto pdf = s.must(lead.get("/api/certificates/" + number + ".pdf"));
        REQUIRE(pdf.status == 200);
        const auto address = outside::zbar(outside::png(outside::PdfFile(pdf.text), 203), "qrcode");
        // Whoever asked second has not got the first one's address on the paper.
        const auto seen = s.look(address.substr(shop.size() + 3), "/list.json");
        REQUIRE(seen.status == 200);
        const auto& of = word(link.at("customer")) == s.made[0].customer ? s.made[0] : s.made[2];
        CHECK(holds(seen.text, of.serial));
        CHECK_FALSE(holds(seen.text, (&of == &s.made[0] ? s.made[2] : s.made[0]).serial));
    }
}

TEST_CASE("crimpgate certificate --with-link: the paper on the disk opens the page, and the list of links names it") {
    TraceStation s(shop);
    const auto& one = s.made[0];
    const Terminal terminal(s.station);
    const auto ask = [&](std::vector<std::string> more) {
        std::vector<std::string> words{"certificate", "--function", "QC lead", "--to", s.station.folder.string()};
        words.insert(words.end(), more.begin(), more.end());
        return terminal.ask("LEA", words);
    };
    const auto serial = ask({one.serial, "--with-link"});
    CHECK(serial.code == 3);
    CHECK(holds(serial.err, "Only the certificate of a delivery"));
    const auto lonely = ask({"--delivery", one.delivery, "--link-until", "2026-12-31"});
    CHECK(lonely.code == 2);
    CHECK(holds(lonely.err, "Ask for the address too"));
    const auto issued = ask({"--delivery", one.delivery, "--with-link", "--link-until", "2026-12-31"});
    INFO(issued.out << issued.err);
    REQUIRE(issued.code == 0);
    CHECK(issued.out.starts_with("CF-4\nTL-1 "));
    const auto pdf = cli_kit::read_file(s.station.folder / "CF-4.pdf");
    const auto address = outside::zbar(outside::png(outside::PdfFile(pdf), 203), "qrcode");
    REQUIRE(address.starts_with(shop));
    CHECK(holds(s.look(address.substr(shop.size() + 3), "/list.json").text, one.serial));
    const auto list = terminal.ask("LEA", {"link", "list"});
    INFO(list.out);
    CHECK(holds(list.out, "printed on CF-4"));
    CHECK_FALSE(holds(list.out + issued.out, address.substr(shop.size() + 3)));
    // The seal and the record inside are what they are without a link.
    const auto key = SigningKey("bench-1", KeyType::ed25519, Seed{7}).verifier().text();
    const auto verified = cli_kit::run({"verify", (s.station.folder / "CF-4.pdf").string(), "--key", key});
    INFO(verified.out << verified.err);
    CHECK(verified.code == 0);
}
