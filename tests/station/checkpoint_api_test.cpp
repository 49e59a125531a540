// Checkpoints, countersignatures, witnesses and the station's key over HTTP.
#include "tests/support/catch.h"

#include <sys/stat.h>

#include <boost/json.hpp>
#include <fstream>
#include <iterator>

#include "api_station.h"
#include "station/daemon/key_change.h"
#include "station/proof/consistency.h"
#include "station/proof/key_handover.h"
#include "station/proof/recovery_text.h"
#include "station/proof/witness_key.h"
#include "tests/reports/outside.h"
#include "tests/support/bench_fixture.h"
#include "tests/support/temp_folder.h"

using namespace crimpgate;
using namespace crimpgate::test;
namespace json = boost::json;

namespace {

ApiReply must(const Result<ApiReply>& reply) {
    if (!reply) FAIL(reply.error().code);
    return *reply;
}

VerifierKey first_key() {
    return keys_of("bench-1", Seed{7}).checkpoints.verifier();
}

const SigningKey& witness() {
    static const SigningKey key("lead-home", KeyType::cosignature, Seed{9});
    return key;
}

}  // namespace

TEST_CASE(
    "checkpoints are signed on demand, listed newest first, handed out as notes, and one proves to extend another") {
    ApiStation station;
    station.set_up();
    auto lead = station.client("LEA", false);
    const auto one = must(lead.post("/api/checkpoints"));
    REQUIRE(one.status == 200);
    station.note(entries::StationStopped{"something happened"});
    const auto two = must(lead.post("/api/checkpoints"));
    REQUIRE(two.status == 200);
    CHECK(two.json.at("checkpoint").at("who") == "LEA");
    CHECK(two.json.at("checkpoint").at("cause") == "asked");
    const auto list = must(lead.get("/api/checkpoints")).json.at("checkpoints").as_array();
    REQUIRE(list.size() == 2);
    CHECK(list[0].at("size").as_int64() > list[1].at("size").as_int64());
    CHECK(must(lead.get("/api/checkpoints?limit=1")).json.at("checkpoints").as_array().size() == 1);

    const auto from = list[1].at("size").as_int64(), to = list[0].at("size").as_int64();
    const auto note = must(lead.get("/api/checkpoints/" + std::to_string(to)));
    CHECK(note.header("content-type") == "text/plain; charset=utf-8");
    const auto newer = open_checkpoint(note.text, first_key());
    const auto older = open_checkpoint(must(lead.get("/api/checkpoints/" + std::to_string(from))).text, first_key());
    REQUIRE(newer);
    REQUIRE(older);
    const auto proof = must(lead.get("/api/consistency?from=" + std::to_string(from) + "&to=" + std::to_string(to)));
    REQUIRE(proof.status == 200);
    const auto read = read_consistency(proof.text);
    REQUIRE(read);
    CHECK(verify_extends(older->checkpoint, newer->checkpoint, *read));
    CHECK_FALSE(verify_extends(newer->checkpoint, older->checkpoint, *read));

    CHECK(must(lead.get("/api/checkpoints/" + std::to_string(to + 1))).status == 404);
    CHECK(must(lead.get("/api/checkpoints/latest")).status == 404);
    for (const char* sizes : {"from=0&to=5", "from=6&to=5", "from=5"})
        CHECK(must(lead.get(std::string("/api/consistency?") + sizes)).code() == "consistency.bad_sizes");
    CHECK(must(lead.get("/api/consistency?from=1&to=100000")).status == 404);
}

TEST_CASE(
    "a countersignature is taken from a known witness over the checkpoint that was signed, and from nothing else") {
    ApiStation station;
    station.set_up();
    auto lead = station.client("LEA", false);
    auto auditor = station.client("AUD", false);
    const auto made = must(lead.post("/api/checkpoints"));
    const auto size = made.json.at("checkpoint").at("size").as_int64();
    const std::string note(made.json.at("checkpoint").at("note").as_string());
    const auto text = parse_note(note)->text;
    const auto line_of = [&](const SigningKey& key, const std::string& of) {
        auto line = cosign_note(of, key, 1'795'000'000).line();
        line.pop_back();
        return line;
    };
    const auto bring = [&](const json::object& body) {
        const auto reply = must(auditor.post("/api/checkpoints/countersignature", body));
        return reply.ok() ? std::string("good") : reply.code();
    };
    const std::string good = line_of(witness(), text);
    const json::object body{{"size", size}, {"line", good}};
    CHECK(bring(body) == "countersignature.unknown");

    const auto know = [&](const json::object& what) { return must(lead.post("/api/witnesses", what)).code(); };
    CHECK(know({{"key", first_key().text()}, {"holder", "us"}}) == "witness.not_a_witness");
    CHECK(know({{"key", "lead-home"}, {"holder", "us"}}) == "key.malformed");
    CHECK(know({{"key", witness().verifier().text()}, {"holder", ""}}) == "bench.field_empty");
    CHECK(know({{"key", witness().verifier().text()}, {"holder", "Lea Brandt, at home"}}).empty());
    CHECK(know({{"key", witness().verifier().text()}, {"holder", "again"}}) == "record.witness_known");

    CHECK(bring({{"line", good}}) == "countersignature.size_needed");
    CHECK(bring({{"size", size + 1}, {"line", good}}) == "countersignature.no_checkpoint");
    CHECK(bring({{"size", size}, {"line", "no line"}}) == "note.malformed");
    CHECK(bring({{"size", size}, {"line", line_of(witness(), text + "more\n")}}) == "countersignature.bad");
    const SigningKey namesake("lead-home", KeyType::cosignature, Seed{10});
    CHECK(bring({{"size", size}, {"line", line_of(namesake, text)}}) == "countersignature.other_key");
    const auto own = parse_note(note)->signatures.front().line();
    CHECK(bring({{"size", size}, {"line", own}}) == "countersignature.own");
    CHECK(bring({{"line", note}}) == "countersignature.none");
    CHECK(bring({{"size", size + 1}, {"line", note}}) == "countersignature.other_size");
    auto other = parse_note(note);
    other->text = checkpoint_text({"bench-1", size, Hash{3}, {}});
    CHECK(bring({{"line", other->bytes()}}) == "countersignature.other_note");
    const auto before = station.last_seq();
    CHECK(bring(body) == "good");
    CHECK(station.last_seq() == before + 1);
    CHECK(bring(body) == "countersignature.twice");

    // The note that is handed out bears it, and a whole note is taken as well.
    const auto whole = must(lead.get("/api/checkpoints/" + std::to_string(size))).text;
    CHECK(whole == note + good + "\n");
    CHECK(open_checkpoint(whole, first_key(), {witness().verifier()})->countersigners.size() == 1);
    const SigningKey second("customer", KeyType::cosignature, Seed{11});
    REQUIRE(know({{"key", second.verifier().text()}, {"holder", "Fennick Harvesters (invented)"}}).empty());
    CHECK(bring({{"line", whole + cosign_note(text, second, 1'795'000'100).line()}}) == "good");
    const auto shown =
        must(lead.get("/api/checkpoints")).json.at("checkpoints").at(0).at("countersignatures").as_array();
    REQUIRE(shown.size() == 2);
    CHECK(shown[0].at("name") == "lead-home");
    CHECK(shown[0].at("holder") == "Lea Brandt, at home");
    CHECK(shown[0].at("signed") == "2026-11-18T11:06:40.000Z");

    const auto forget = [&](const json::object& what) { return must(lead.post("/api/witnesses/forget", what)).code(); };
    CHECK(forget({{"key", witness().verifier().text()}, {"reason", ""}}) == "bench.field_empty");
    CHECK(forget({{"key", witness().verifier().text()}, {"reason", "left the shop"}}).empty());
    CHECK(forget({{"key", witness().verifier().text()}, {"reason", "again"}}) == "record.no_witness");
    CHECK(must(lead.get("/api/keys")).json.at("witnesses").as_array().size() == 1);
}

TEST_CASE(
    "a setter replaces the key: the old one vouches for it, its file is kept, and the next checkpoint is the new "
    "one's") {
    ApiStation station;
    station.set_up();
    auto setter = station.client("SET", false);
    REQUIRE(must(setter.post("/api/checkpoints")).ok());
    CHECK(must(setter.post("/api/keys/hand-over", {{"reason", ""}})).status == 400);
    const auto changed = must(setter.post("/api/keys/hand-over", {{"reason", "a copy of the disk left the shop"}}));
    INFO(changed.text);
    REQUIRE(changed.status == 200);
    CHECK(changed.json.at("warnings").as_array().empty());
    const auto new_key = parse_verifier_key(std::string(changed.json.at("key").as_string()));
    REQUIRE(new_key);
    CHECK(*new_key != first_key());
    const std::string note(changed.json.at("checkpoint").at("note").as_string());
    CHECK(open_checkpoint(note, *new_key));
    CHECK_FALSE(open_checkpoint(note, first_key()));

    // Who trusts the old key finds the new ones by its word.
    const auto shown = must(setter.get("/api/keys")).json;
    const auto& keys = shown.at("keys").as_array();
    REQUIRE(keys.size() == 2);
    const auto handed = open_hand_over(std::string(keys[0].at("statement").as_string()), first_key());
    REQUIRE(handed);
    CHECK(handed->next == *new_key);
    const auto tag_key = parse_verifier_key(std::string(keys[0].at("tag_key").as_string()));
    REQUIRE(tag_key);
    CHECK(tag_key->key == handed->next_tag_key);
    CHECK(tag_key->key != keys_of("bench-1", Seed{7}).tags.verifier().key);
    CHECK(keys[0].at("in_force") == true);
    CHECK(keys[1].at("in_force") == false);

    // On the disk: the new secret, for its user alone, and the old one aside.
    const auto file = station.folder / "station.key";
    struct stat about = {};
    REQUIRE(::stat(file.c_str(), &about) == 0);
    CHECK((about.st_mode & 07777) == 0600);
    const auto seed = read_key_file(file);
    REQUIRE(seed);
    CHECK(keys_of("bench-1", *seed).checkpoints.verifier() == *new_key);
    const auto old_id = to_hex(as_text(first_key().id()));
    const auto kept = read_key_file(file.string() + "." + old_id + ".old");
    REQUIRE(kept);
    CHECK(*kept == Seed{7});
    CHECK_FALSE(std::filesystem::exists(next_key_file(file)));
    const auto verified = must(setter.post("/api/journal/verify"));
    INFO(verified.text);
    CHECK(verified.json.at("sound") == true);
}

TEST_CASE(
    "the recovery page is printed on the station's own machine, stands in the record, and brings the secret back") {
    ApiStation station;
    station.set_up();
    auto setter = station.client("SET", false);
    REQUIRE(must(setter.post("/api/checkpoints")).ok());
    CHECK(must(setter.get("/api/keys")).json.at("recovery_printed") == false);
    HttpRequest from_afar;
    from_afar.method = "POST";
    from_afar.path = "/api/keys/recovery-page";
    from_afar.body = "{}";
    from_afar.authorization = "Bearer " + station.token("SET");
    const auto before = station.last_seq();
    const auto refused = station.ask(from_afar);
    CHECK(refused.status == 403);
    CHECK(refused.body.find("record.recovery_only_here") != std::string::npos);
    CHECK(station.last_seq() == before);

    for (const auto& [paper, language, title] :
         {std::tuple{"a4", "en", "Recovery page"}, std::tuple{"letter", "de", "Wiederherstellungsseite"}}) {
        const auto page = must(setter.post("/api/keys/recovery-page", {{"paper", paper}, {"language", language}}));
        REQUIRE(page.status == 200);
        CHECK(page.header("content-type") == "application/pdf");
        const outside::PdfFile pdf(page.text);
        const auto text = pdf.text("-layout");
        INFO(text);
        CHECK(text.find(title) != std::string::npos);
        CHECK(text.find(first_key().text()) != std::string::npos);
        CHECK(outside::run("pdfinfo " + pdf.path()).out.find(std::string(paper) == "a4" ? "595" : "612 x 792") !=
              std::string::npos);
        // As somebody would type it off the page: the words of five between the rows of numbers.
        std::string typed;
        for (const auto& group : recovery_text(Seed{7})) {
            INFO(group);
            REQUIRE(text.find(group) != std::string::npos);
            typed += text.substr(text.find(group), 5) + " ";
        }
        CHECK(read_recovery_text(typed) == Seed{7});
    }
    const auto entries = station.entries();
    CHECK(entries.back().type == "key.recovery_printed");
    CHECK(std::string(entries.back().body.at("key").as_string()) == first_key().text());
    CHECK(must(setter.get("/api/keys")).json.at("recovery_printed") == true);
    // For the next key the page must be printed anew.
    REQUIRE(must(setter.post("/api/keys/hand-over", {{"reason", "the page was seen"}})).ok());
    CHECK(must(setter.get("/api/keys")).json.at("recovery_printed") == false);
}

TEST_CASE("a hand-over that a power cut broke off is finished at the next start, and one that nobody heard of is not") {
    const TempFolder folder;
    const auto file = folder / "station.key";
    const Seed old{7}, next{8};
    const auto key_of_seed = [](const Seed& seed) { return keys_of("bench-1", seed).checkpoints.verifier().text(); };
    REQUIRE(write_key_file(file, old));
    REQUIRE(write_key_file(next_key_file(file), next));
    const std::vector<StationKey> before = {{1, "bench-1", key_of_seed(old), "", ""}};
    // Cut before the journal was told.
    REQUIRE(finish_key_change(file, before));
    CHECK(*read_key_file(file) == old);
    // Cut after it.
    auto after = before;
    after.push_back({9, "bench-1", key_of_seed(next), "", "a note"});
    REQUIRE(finish_key_change(file, after));
    CHECK(*read_key_file(file) == next);
    CHECK(*read_key_file(file.string() + "." + to_hex(as_text(parse_verifier_key(key_of_seed(old))->id())) + ".old") ==
          old);
    CHECK_FALSE(std::filesystem::exists(next_key_file(file)));
    REQUIRE(finish_key_change(file, after));
    CHECK(*read_key_file(file) == next);
}
