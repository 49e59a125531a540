#include "station/journal/views.h"

#include <set>

#include <boost/mp11.hpp>

#include "station/journal/database.h"
#include "station/journal/queries.h"
#include "tests/station/shop_day.h"

using namespace journal_kit;
namespace json = boost::json;

namespace {

// Every row of every view, as JSON text.
std::vector<std::string> everything(Journal& journal) {
    std::vector<std::string> rows;
    for (const View& view : views())
        for (const auto& row : journal.database().rows((std::string("SELECT * FROM \"") + view.name + '"').c_str()))
            rows.push_back(std::string(view.name) + json::serialize(row));
    return rows;
}

const json::object& row_where(const json::array& rows, const char* member, const std::string& value) {
    for (const auto& row : rows)
        if (row.at(member).is_string() && std::string_view(row.at(member).as_string()) == value) return row.as_object();
    FAIL("no row with " << member << " = " << value);
    return rows.at(0).as_object();
}

std::string text(const json::object& row, const char* member) {
    return std::string(row.at(member).as_string());
}

}  // namespace

TEST_CASE("the shop's day has every type of entry, and the views know each") {
    std::set<std::string> happened;
    for (const auto& d : ShopDay().drafts)
        happened.insert(d.type);
    boost::mp11::mp_for_each<boost::mp11::mp_transform<std::type_identity, EntryTypes>>([&](auto identity) {
        const std::string type(decltype(identity)::type::type);
        INFO(type);
        CHECK(has_view(type));
        CHECK(happened.contains(type));
    });
}

TEST_CASE("views dropped and built again from the entries are the same, row by row") {
    Folder folder;
    Journal journal = open_journal(folder / "j.sqlite");
    live_through(journal);
    const auto before = everything(journal);
    REQUIRE(before.size() > 50);
    for (const View& view : views()) {
        INFO(view.name);
        CHECK(journal.database().number((std::string("SELECT count(*) FROM \"") + view.name + '"').c_str()) > 0);
    }
    drop_views(journal.database(), view_names());
    CHECK(journal.database().number("SELECT count(*) FROM sqlite_schema WHERE type = 'table'") == 3);
    must(journal.rebuild_views());
    CHECK(everything(journal) == before);
    CHECK(must(journal.verify()).sound());
}

TEST_CASE("views of another definition are made anew when the journal is opened; a reader is told to wait for that") {
    Folder folder;
    const auto file = folder / "j.sqlite";
    std::vector<std::string> before;
    {
        Journal journal = open_journal(file);
        live_through(journal);
        before = everything(journal);
    }
    behind_its_back(file,
                    "DROP TABLE holds; CREATE TABLE holds(a TEXT); CREATE TABLE of_old(b TEXT);"
                    "UPDATE notes SET value = 'another' WHERE name = 'views';"
                    "UPDATE notes SET value = value || ' of_old' WHERE name = 'view_tables';");
    auto reading = station();
    reading.access = JournalAccess::read;
    CHECK(Journal::open(file, reading).error().code == "journal.older");
    Journal journal = open_journal(file);
    CHECK(everything(journal) == before);
    CHECK(journal.database().number("SELECT count(*) FROM sqlite_schema WHERE name = 'of_old'") == 0);
}

TEST_CASE("an order shows how many of its assemblies stand where") {
    Folder folder;
    Journal journal = open_journal(folder / "j.sqlite");
    live_through(journal);
    const auto all = must(orders(journal));
    REQUIRE(all.size() == 2);
    const auto& order = row_where(all, "order", "O-1001");
    CHECK(order.at("started") == 5);
    CHECK(order.at("passed") == 2);    // K100B, K100D
    CHECK(order.at("scrapped") == 1);  // K100C
    CHECK(order.at("on_hold") == 2);   // K100A as suspect, K100E by hand
    CHECK(order.at("in_work") == 0);
    CHECK(order.at("needed_pressure_kpa") == 20000);
    CHECK(order.at("orientation_deg") == 90);
    CHECK(order.at("lots").as_array().size() == 4);
    const auto& other = row_where(all, "order", "O-1002");
    CHECK(other.at("started") == 0);
    CHECK_FALSE(other.contains("orientation_deg"));
    const auto made = must(assemblies_of(journal, "O-1001"));
    REQUIRE(made.size() == 5);
    CHECK(text(made[0].as_object(), "serial") == "K100A");
    CHECK(must(assemblies_of(journal, "O-1002")).empty());
}

TEST_CASE("R7: a re-crimped, a scrapped and a conceded assembly show as that") {
    Folder folder;
    Journal journal = open_journal(folder / "j.sqlite");
    live_through(journal);
    const auto made = must(assemblies_of(journal, "O-1001"));
    const auto& recrimped = row_where(made, "serial", "K100B");
    CHECK(text(recrimped, "stage") == "passed");
    CHECK(recrimped.at("recrimps") == 1);
    CHECK(recrimped.at("quarantined") == false);
    CHECK(text(row_where(made, "serial", "K100C"), "stage") == "scrapped");
    const auto& conceded = row_where(made, "serial", "K100D");
    CHECK(text(conceded, "concession_reference") == "HN mail of 4 March");
    CHECK(text(conceded, "passed_by") == "LD-1");
    CHECK_FALSE(row_where(made, "serial", "K100B").contains("concession_reference"));
    CHECK(text(row_where(made, "serial", "K100A"), "revision_a") == "2");
}

TEST_CASE("holds that wait come oldest first, and a settled one says who settled it and how") {
    Folder folder;
    Journal journal = open_journal(folder / "j.sqlite");
    live_through(journal);
    const auto open = must(open_holds(journal));
    REQUIRE(open.size() == 2);
    CHECK(text(open[0].as_object(), "serial") == "K100A");
    CHECK(text(open[0].as_object(), "cause") == "suspect");
    CHECK(text(open[0].as_object(), "customer") == "Hafen Nord");
    CHECK(text(open[0].as_object(), "shift") == "2025-03-04/1");
    CHECK(open[0].at("tags_printed") == 2);  // it may have left the house
    CHECK(text(open[0].as_object(), "tag") == "printed");
    CHECK(text(open[1].as_object(), "serial") == "K100E");
    CHECK(open[1].at("tags_printed") == 0);
    CHECK_FALSE(open[1].as_object().contains("doubt_seq"));
    CHECK(must(doubts(journal, open)).empty());  // that day's suspect names no gauge
    const auto all = must(all_holds(journal));
    CHECK(all.size() == 5);
    const auto& settled = row_where(all, "serial", "K100B");
    CHECK(text(settled, "how") == "recrimp");
    CHECK(text(settled, "settled_by") == "LD-1");
    CHECK(settled.at("recrimp_possible") == true);
}

TEST_CASE(
    "R3: a trace of a serial tells everything: voided readings, raw frames, the proof they stand on, the row as it "
    "was") {
    Folder folder;
    Journal journal = open_journal(folder / "j.sqlite");
    live_through(journal);
    const auto found = must(trace(journal, "K100A"));
    CHECK(text(found.at("assembly").as_object(), "order") == "O-1001");
    const auto& readings = found.at("readings").as_array();
    REQUIRE(readings.size() == 3);
    CHECK(readings[1].at("value_nm") == 31'020'000);
    CHECK(text(readings[1].as_object(), "void_reason") == "slipped off the flat");
    CHECK_FALSE(readings[2].as_object().contains("voided_seq"));
    CHECK(text(readings[2].as_object(), "raw_hex") == "2b33312e30320d0a");
    CHECK(text(readings[2].as_object(), "end") == "a");
    CHECK(text(found.at("confirmations").as_array().at(0).as_object(), "seen") == "at_edge");
    REQUIRE(found.at("proofs").as_array().size() == 1);
    CHECK(found.at("proofs").at(0).at("passed") == true);
    CHECK(found.at("proofs").at(0).at("seq") == readings[0].at("proof_seq"));
    CHECK(found.at("gauges").as_array().size() == 1);
    CHECK(found.at("tags").as_array().size() == 2);
    CHECK(found.at("holds").as_array().size() == 1);
    const auto& whole = found.at("entries").as_array();
    REQUIRE(whole.size() > 10);
    CHECK(text(whole[0].as_object(), "type") == "assembly.started");
    CHECK(whole[0].at("body").at("row_a").at("crimp").at("nominal_nm") == 31'000'000);  // R6
    for (const auto& entry : whole)
        CHECK(json::serialize(entry.at("body")).find("\"K100A\"") != std::string::npos);  // by itself or in a delivery
    CHECK(text(whole.back().as_object(), "type") == "assembly.held");
    CHECK(text(whole[0].as_object(), "hash") == to_hex(must(journal.entry(whole[0].at("seq").as_int64()))->hash));
    const auto unknown = trace(journal, "K100Z");
    REQUIRE_FALSE(unknown);
    CHECK(unknown.error().code == "trace.no_serial");
    CHECK(unknown.error().detail("serial") == "K100Z");
}

TEST_CASE("gauges show whether they stand proved") {
    Folder folder;
    Journal journal = open_journal(folder / "j.sqlite");
    live_through(journal);
    const auto all = must(gauges(journal));
    REQUIRE(all.size() == 2);
    const auto& failed = row_where(all, "gauge", "G1");
    CHECK(failed.at("needs_proof") == true);
    CHECK(failed.at("gone") == false);
    CHECK(failed.at("last_proof").at("passed") == false);
    CHECK(failed.at("last_proof").at("error_nm") == 49'000);
    CHECK(failed.at("proof_seq").as_int64() < failed.at("last_proof_seq").as_int64());  // the last good one
    CHECK(row_where(all, "gauge", "G2").at("withdrawn") == true);
    CHECK(must(references(journal)).size() == 1);
}

TEST_CASE("R6: a newer revision of a spec row is in force, the older one stays readable") {
    Folder folder;
    Journal journal = open_journal(folder / "j.sqlite");
    live_through(journal);
    const auto rows = must(spec_rows_in_force(journal));
    REQUIRE(rows.size() == 1);
    CHECK(text(rows[0].as_object(), "revision") == "2");
    CHECK(*spec_row(rows[0].at("row").as_object()) == invented_row("2"));
    CHECK(journal.database().number("SELECT count(*) FROM spec_rows") == 2);
}

TEST_CASE("R11: tags show the copy, its reason and what became of the print job") {
    Folder folder;
    Journal journal = open_journal(folder / "j.sqlite");
    live_through(journal);
    const auto all = must(tags(journal));
    REQUIRE(all.size() == 4);
    CHECK(text(all[0].as_object(), "state") == "printed");
    CHECK(text(all[0].as_object(), "job") == "label-41");
    CHECK(all[1].at("copy") == 1);
    CHECK(text(all[1].as_object(), "reason") == "torn");
    CHECK(text(row_where(all, "serial", "K100B"), "state") == "failed");
    CHECK(row_where(all, "serial", "K100B").at("why").at("code") == "printer.gone");
    CHECK(text(row_where(all, "serial", "K100D"), "state") == "printed");  // found by a person
}

TEST_CASE("R9: people are listed without their PIN hashes, shifts with who began and ended them") {
    Folder folder;
    Journal journal = open_journal(folder / "j.sqlite");
    live_through(journal);
    const auto all = must(people(journal));
    REQUIRE(all.size() == 3);
    CHECK(text(row_where(all, "person", "OP-7"), "name") == "Pål Ø");
    CHECK(text(row_where(all, "person", "OP-7"), "role") == "operator");
    CHECK(json::serialize(all).find("argon2") == std::string::npos);
    const auto& gone = row_where(all, "person", "OP-9");
    CHECK(text(gone, "role") == "auditor");  // as given last
    CHECK(text(gone, "badge") == "B-901");
    CHECK(text(gone, "language") == "en");
    CHECK(gone.at("retired") == true);
    CHECK(text(gone, "retired_reason") == "left the shop");
    const auto worked = must(shifts(journal));
    REQUIRE(worked.size() == 1);
    CHECK(text(worked[0].as_object(), "who") == "OP-7");
    CHECK(text(worked[0].as_object(), "ended_by") == "OP-7");
}

TEST_CASE("entries since a number come whole, with their hashes, for whoever follows the journal") {
    Folder folder;
    Journal journal = open_journal(folder / "j.sqlite");
    live_through(journal);
    const auto some = must(entries_since(journal, 10, 3));
    REQUIRE(some.size() == 3);
    CHECK(some[0].at("seq") == 11);
    CHECK(some[2].at("seq") == 13);
    CHECK(must(entries_since(journal, must(journal.last_seq()), 10)).empty());
}

TEST_CASE("a serial given twice is refused and leaves no trace") {
    Folder folder;
    Journal journal = open_journal(folder / "j.sqlite");
    live_through(journal);
    const auto before = must(journal.last_seq());
    for (const auto& d : ShopDay().drafts) {
        if (d.type != "assembly.started") continue;
        const auto again = journal.append({d}, at(0));
        REQUIRE_FALSE(again);
        CHECK(again.error().code == "journal.database");
        break;
    }
    CHECK(must(journal.last_seq()) == before);
    CHECK(must(journal.verify()).sound());
}
