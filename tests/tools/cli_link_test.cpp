// crimpgate link on a journal's file: what was made, how it stands and how often it was looked through; making and
// revoking need a station.
#include "tests/tools/cli_kit.h"

using namespace cli_kit;

TEST_CASE(
    "R12: the list of links says whose each is, how it stands and how often it was looked through, and no token") {
    const Folder folder;
    const auto file = folder / "journal.sqlite";
    make_journal(file);
    const auto told = run({"link", "list", "--journal", file.string()});
    INFO(told.out << told.err);
    REQUIRE(told.code == 0);
    CHECK(has(told.out, "TL-1"));
    CHECK(has(told.out, "Hafen Nord"));
    CHECK(has(told.out, "everything"));
    CHECK(has(told.out, "revoked: sent to the wrong address"));
    CHECK(has(told.out, "LD-1"));
    CHECK(has(told.out, "tags open it"));
    const auto file_out = run({"link", "list", "--json", "--journal", file.string()});
    const auto list = boost::json::parse(file_out.out).at("links").as_array();
    REQUIRE(list.size() == 1);
    CHECK(list[0].at("looks") == 1);
    CHECK_FALSE(has(told.out + file_out.out, std::string(64, 'e')));  // nor what is kept of it
}

TEST_CASE("R9: a link is made and revoked at a station alone, for a customer and with a reason") {
    const Folder folder;
    const auto file = (folder / "journal.sqlite").string();
    make_journal(file);
    CHECK(run({"link", "make", "--customer", "Hafen Nord", "--journal", file}).code == 3);
    CHECK(run({"link", "make", "--journal", file}).code == 2);
    CHECK(run({"link", "revoke", "TL-1", "--journal", file}).code == 2);
    CHECK(run({"link", "revoke", "TL-1", "--reason", "lost", "--journal", file}).code == 3);
    const auto half = run({"link"});
    CHECK(half.code == 2);
    CHECK(has(half.err, "crimpgate link make"));
    CHECK(all_entries(file).back().type != "link.made");
}
