// crimpgate verify FILE, on files that were made without the station's code (tests/outside/evidence_sample.py).
#include "tests/tools/cli_kit.h"

using namespace cli_kit;

namespace json = boost::json;

namespace {

std::string data(const std::string& name) {
    return source_file("tests/data/proof/" + name);
}

const json::object keys = json::parse(read_file(data("evidence_keys.json"))).as_object();

std::string key(const char* which) {
    return std::string(keys.at(which).as_string());
}

// The file with the first `from` in it made `to`.
std::string changed(const std::string& name, const std::string& from, const std::string& to) {
    std::string text = read_file(data(name));
    const auto at = text.find(from);
    REQUIRE(at != std::string::npos);
    return text.replace(at, from.size(), to);
}

struct Written {
    explicit Written(const std::string& bytes) { std::ofstream(path(), std::ios::binary) << bytes; }
    std::string path() const { return (folder / "file").string(); }
    Folder folder;
};

Run verify_changed(const std::string& name, const std::string& from, const std::string& to) {
    const Written file(changed(name, from, to));
    return run({"verify", file.path(), "--key", key("station")});
}

}  // namespace

TEST_CASE("R3: a certificate is verified with the shop's key alone, and says what is proved and what never can be") {
    const auto good = run({"verify", data("certificate_good.pdf"), "--key", key("station")});
    INFO(good.out << good.err);
    CHECK(good.code == 0);
    CHECK(good.err.empty());
    CHECK(has(good.out, "+ The PDF is, byte for byte, the paper that crimp.example/station-1 sealed as CF-17."));
    CHECK(has(good.out, "+ crimp.example/station-1 signed its journal of 10 entries"));
    CHECK(has(good.out, "+ All 4 entries in this file"));
    for (const char* never :
         {"- Not proved: that the shop measured with care", "- Not proved: that the hose in your hand",
          "- Not proved: that nothing was left out", "- Not proved: when these entries were written"})
        CHECK(has(good.out, never));
    const auto german = run({"verify", data("certificate_good.pdf"), "--key", key("station"), "--language", "de"});
    CHECK(german.code == 0);
    CHECK(has(german.out, "gesiegelt hat"));
    CHECK(has(german.out, "Nicht bewiesen: dass der Schlauch in Ihrer Hand"));
}

TEST_CASE("R3: an evidence file names who countersigned and when; the key may stand in a file") {
    const Written key_file(key("station") + "\n");
    const auto good =
        run({"verify", data("evidence_good.json"), "--key-file", key_file.path(), "--witness", key("witness")});
    INFO(good.out << good.err);
    CHECK(good.code == 0);
    CHECK(has(good.out,
              "+ auditor.example/w1 has countersigned the same 10 entries, by its own clock at "
              "2025-03-04T06:33:20.000Z"));
    CHECK(has(good.out, "- Not proved: the exact times before 2025-03-04T06:33:20.000Z"));
    const auto told = run({"verify", data("evidence_good.json"), "--key", key("station"), "--json"});
    const auto object = json::parse(told.out).as_object();
    CHECK(object.at("good").as_bool());
    CHECK(object.at("proved").as_array().size() == 3);
    CHECK(has(std::string(object.at("proved").as_array()[2].at("words").as_string()), "(1): K103."));
    CHECK(object.at("not_proved").as_array()[3].at("code").as_string() == "evidence.not.time");
}

TEST_CASE("a newer key is believed when the trusted one handed over to it") {
    const auto good = run({"verify", data("evidence_handed_over.json"), "--key", key("station")});
    INFO(good.out << good.err);
    CHECK(good.code == 0);
    CHECK(has(good.out, "handed over from the trusted key of crimp.example/station-1 in 1 signed steps"));
    CHECK(run({"verify", data("evidence_handed_over.json"), "--key", key("next")}).code == 0);
    const auto other = run({"verify", data("evidence_good.json"), "--key", key("next")});
    CHECK(other.code == 1);
    CHECK(has(other.out, "NOT PROVED"));
    CHECK(has(other.out, "neither the trusted key"));
}

TEST_CASE("R3: one digit changed is found and named: in an entry, a proof, the checkpoint, the paper and its number") {
    struct Case {
        const char *file, *from, *to, *said;
    };
    for (const auto& c :
         {Case{"evidence_good.json", "25480000", "25480001", "Entry 4 is not what stood in the journal"},
          Case{"evidence_good.json", "station-1\\n10\\n", "station-1\\n11\\n", "does not fit the text"},
          Case{"evidence_good.json", "\"serials\":[\"K103\"]", "\"serials\":[\"K105\"]",
               "no entry in it speaks of that serial"},
          Case{"certificate_good.pdf", "25.48 mm", "25.38 mm", "not the one that was sealed as CF-17"},
          Case{"certificate_good.pdf", "25480000", "25480001", "not the one that was sealed as CF-17"},
          Case{"certificate_good.pdf", "%CF-17", "%CF-18", "does not fit the text"}}) {
        const auto told = verify_changed(c.file, c.from, c.to);
        INFO(c.file << ", " << c.from << " made " << c.to << ": " << told.out << told.err);
        CHECK(told.code == 1);
        CHECK(has(told.out, "NOT PROVED. Nothing in it should be relied upon."));
        CHECK(has(told.out, c.said));
        CHECK_FALSE(has(told.out, "\n  + "));
    }
    std::string proof = read_file(data("evidence_good.json"));
    const auto at = proof.find("\"proof\":[\"") + 10;
    proof[at] = proof[at] == 'A' ? 'B' : 'A';
    const Written file(proof);
    CHECK(has(run({"verify", file.path(), "--key", key("station")}).out, "Entry 2 is not what stood in the journal"));
    CHECK(has(verify_changed("certificate_good.pdf", "%crimpgate-paper/1\n", "%crimpgate-paper/2\n").out,
              "bears no seal"));
}

TEST_CASE("without a key nothing is proved of who signed, and the key inside is shown for comparison") {
    for (const char* file : {"certificate_good.pdf", "evidence_good.json"}) {
        const auto told = run({"verify", data(file)});
        INFO(told.out << told.err);
        CHECK(told.code == 1);
        CHECK(has(told.out, "NOT PROVED, since no public key was given"));
        CHECK(has(told.out, key("station") + ", says nothing about whose it is"));
        CHECK(has(told.out, "All 4 entries in this file"));
    }
    const Written damaged(changed("evidence_good.json", "25480000", "25480001"));
    CHECK(has(run({"verify", damaged.path()}).out, "Entry 4 is not what stood in the journal"));
}

TEST_CASE("a proof file is held against the record beside it (vectors made by an independent script)") {
    const auto sample = json::parse(read_file(data("evidence_sample.json"))).as_object();
    const Folder folder;
    const auto proof = (folder / "record.json.tlog-proof").string();
    const auto record = (folder / "record.json").string();
    const auto write = [](const std::string& file, const json::value& text) {
        std::ofstream(file, std::ios::binary) << std::string(text.as_string());
    };
    write(proof, sample.at("tlog_proof_index_2"));
    write(record, sample.at("records").as_array()[2].at("bytes"));
    const std::string vkey(sample.at("vkey").as_string());
    const auto good = run({"verify", proof, "--key", vkey});
    INFO(good.out << good.err);
    CHECK(good.code == 0);
    CHECK(has(good.out, "+ The record is entry 3 of those 5"));
    write(record, sample.at("records").as_array()[3].at("bytes"));
    const auto other = run({"verify", proof, "--key", vkey, "--record", record});
    CHECK(other.code == 1);
    CHECK(has(other.out, "is not entry 2 (counted from 0) of the 5"));
    CHECK(run({"verify", proof}).code == 1);
    std::filesystem::remove(record);
    CHECK(run({"verify", proof, "--key", vkey}).code == 3);
}

TEST_CASE("a tag's code says what the station issued, and that a tag can be copied") {
    for (const char* form : {"tag_code", "tag_link"}) {
        const auto good = run({"verify", key(form), "--key", key("tag")});
        INFO(good.out << good.err);
        CHECK(good.code == 0);
        CHECK(has(good.out,
                  "Serial K103, order WO-2041, made 2025-03-04, working pressure 275 bar: passed. The reading "
                  "nearest to its limit was 0.120 mm inside it. Station K1."));
        CHECK(has(good.out, "A tag can be copied"));
    }
    const auto conceded = run({"verify", key("tag_concession"), "--key", key("tag")});
    CHECK(has(conceded.out, "ON A CONCESSION"));
    CHECK(has(conceded.out, "-0.012 mm"));
    std::string code = key("tag_code");
    code[20] = code[20] == 'A' ? 'B' : 'A';
    CHECK(run({"verify", code, "--key", key("tag")}).code == 1);
    const auto wrong_key = run({"verify", key("tag_code"), "--key", key("station")});
    CHECK(wrong_key.code == 1);
    CHECK(has(wrong_key.out, "another key"));
    CHECK(has(run({"verify", key("tag_code")}).out, "public key"));
}

TEST_CASE("wrong use of verify is told, and a file that cannot be read is told apart from one that was changed") {
    CHECK(run({"verify", "/nowhere/file.pdf", "--key", key("station")}).code == 3);
    CHECK(run({"verify", data("evidence_good.json"), "--key", "no key"}).code == 2);
    CHECK(run({"verify", data("evidence_good.json"), "--key", key("witness")}).code == 2);
    CHECK(run({"verify", data("evidence_good.json"), "--key", key("station"), "--witness", key("station")}).code == 2);
    CHECK(run({"verify", data("evidence_good.json"), "--key", key("station"), "--key-file", "x"}).code == 2);
    CHECK(run({"verify", data("evidence_good.json"), "--language", "fr"}).code == 2);
    CHECK(run({"verify", "--key", key("station")}).code == 2);
    CHECK(has(run({"help", "verify"}).out, "crimpgate verify FILE [--key KEY"));
}
