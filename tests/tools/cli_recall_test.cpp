// crimpgate recall and delivery on a journal's file: the list, its files, a letter for each customer who has some of
// it, and what is refused.
#include "tests/reports/outside.h"
#include "tests/tools/cli_kit.h"

using namespace cli_kit;

namespace {

// The day's journal; DL-1 was taken back there, and K100A leaves with DL-2 after all.
struct Shop {
    Shop() {
        make_journal(file);
        Journal journal = open_journal(file);
        entries::DeliverySent sent;
        sent.delivery = "DL-2";
        sent.customer = "Hafen Nord";
        sent.note_number = "4712";
        sent.date = "2025-03-06";
        sent.to = "yard 3";
        sent.serials = {serial('A')};
        Stamp stamp;
        const auto last = must(journal.entry(must(journal.last_seq())));
        REQUIRE(last);
        stamp.utc_ms = last->stamp.utc_ms + 1000;
        stamp.mono_ns = last->stamp.mono_ns + 1'000'000;
        stamp.boot_id = last->stamp.boot_id;
        must(journal.append({draft(sent, "LD-1")}, stamp));
    }
    Run ask(std::vector<std::string> command) const {
        command.insert(command.end(), {"--journal", file.string()});
        return run(command);
    }
    Folder folder;
    std::filesystem::path file = folder / "journal.sqlite";
};

}  // namespace

TEST_CASE("R12: a recall of a hose lot lists every assembly of it, and says which have left and where to") {
    const Shop shop;
    const auto told = shop.ask({"recall", "--hose-lot", "H-1"});
    INFO(told.out << told.err);
    REQUIRE(told.code == 0);
    for (const char letter : std::string("ABCD"))
        CHECK(count(told.out, "\n" + serial(letter) + " ") == 1);
    CHECK(has(told.out, ", 1 of them delivered."));
    CHECK(has(told.out, "DL-2 2025-03-06 yard 3"));
    CHECK_FALSE(has(told.out, "DL-1"));
    CHECK(has(told.out, "CONCESSION"));
    const auto narrower = shop.ask({"recall", "--hose-lot", "H-1", "--order", "O-1002"});
    CHECK(narrower.code == 0);
    CHECK_FALSE(has(narrower.out, serial('A')));
}

TEST_CASE("A recall's files: a CSV row for each, JSON, and a letter that a reader of PDFs reads") {
    const Shop shop;
    const auto csv = shop.folder / "list.csv", json = shop.folder / "list.json", letters = shop.folder / "letters";
    const auto told =
        shop.ask({"recall", "--hose-lot", "H-1", "--csv", csv.string(), "--json", json.string(), "--letters",
                  letters.string(), "--reason", "the cover splits", "--shop", "Kestrel Yard", "--paper", "letter"});
    INFO(told.out << told.err);
    REQUIRE(told.code == 0);
    const auto whole = boost::json::parse(read_file(json)).as_object();
    const auto rows = whole.at("rows").as_array().size();
    CHECK(whole.at("assemblies").as_int64() == static_cast<std::int64_t>(rows));
    CHECK(count(read_file(csv), "\r\n") == rows + 1);
    const auto letter = letters / "letter-01-hafen-nord.pdf";
    REQUIRE(std::filesystem::exists(letter));
    CHECK_FALSE(std::filesystem::exists(letters / "letter-02-hafen-nord.pdf"));
    const auto text = outside::run("pdftotext -layout " + quoted(letter.string()) + " -").out;
    CHECK(has(text, "Hafen Nord"));
    CHECK(has(text, "the cover splits"));
    CHECK(has(text, "Kestrel Yard"));
    CHECK(has(text, serial('A')));
    CHECK_FALSE(has(text, serial('D')));  // passed with a concession, and still in the house
    CHECK(has(text, "copy of the record"));
}

TEST_CASE("A recall of what the record does not know is refused, and without a reason there is no letter") {
    const Shop shop;
    const auto mistyped = shop.ask({"recall", "--hose-lot", "H-11"});
    CHECK(mistyped.code == 3);
    CHECK(has(mistyped.err, "H-11"));
    CHECK(mistyped.out.empty());
    CHECK(shop.ask({"recall"}).code == 2);
    CHECK(shop.ask({"recall", "--hose-lot", "H-1", "--paper", "a3"}).code == 2);
    const auto letters = shop.folder / "letters";
    CHECK(shop.ask({"recall", "--hose-lot", "H-1", "--letters", letters.string()}).code == 2);
    CHECK_FALSE(std::filesystem::exists(letters));
    // A list is written down by a station, never into a file that somebody looks at.
    const auto entries = all_entries(shop.file).size();
    CHECK(shop.ask({"recall", "--hose-lot", "H-1", "--draw", "--reason", "in doubt"}).code == 3);
    CHECK(all_entries(shop.file).size() == entries);
}

TEST_CASE("R3: deliveries are listed with what is out, and what was taken back is told with its reason") {
    const Shop shop;
    const auto list = shop.ask({"delivery", "list"});
    INFO(list.out << list.err);
    CHECK(list.code == 0);
    CHECK(has(list.out, "DL-2"));
    CHECK(has(list.out, "0 of 1"));
    const auto back = shop.ask({"delivery", "show", "DL-1"});
    CHECK(back.code == 0);
    CHECK(has(back.out, "the lorry was full"));
    const auto out = shop.ask({"delivery", "show", "DL-2"});
    CHECK(has(out.out, serial('A')));
    CHECK(has(out.out, "yard 3"));
    CHECK(has(out.out, "4712"));
    const auto never = shop.ask({"delivery", "show", "DL-9"});
    CHECK(never.code == 3);
    CHECK(has(never.err, "DL-9"));
    CHECK(shop.ask({"delivery"}).code == 2);
    const auto serials = shop.folder / "serials";
    std::ofstream(serials) << serial('B') << "\n";
    const auto sent =
        shop.ask({"delivery", "send", "--customer", "Hafen Nord", "--to", "gate", "--serials", serials.string()});
    CHECK(sent.code == 3);
    CHECK(has(sent.err, "running station"));
}
