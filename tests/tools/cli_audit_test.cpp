// crimpgate audit on a journal's file: scope, tables, files, and what is refused.
#include "tests/tools/cli_kit.h"

using namespace cli_kit;

namespace {

std::vector<std::string> audit(const std::filesystem::path& file, std::vector<std::string> more) {
    more.insert(more.begin(), "audit");
    more.insert(more.end(), {"--journal", file.string()});
    return more;
}

// The first shift of the day's journal.
std::string shift_of(const std::filesystem::path& file) {
    for (const auto& entry : all_entries(file))
        if (entry.type == "shift.started") return std::string(entry.body.at("shift").as_string());
    return {};
}

}  // namespace

TEST_CASE("An audit is printed from a journal's file without a station") {
    const Folder folder;
    const auto file = folder / "journal.sqlite";
    make_journal(file);
    const auto shift = shift_of(file);
    REQUIRE_FALSE(shift.empty());
    const auto told = run(audit(file, {"--shift", shift}));
    INFO(told.out << told.err);
    CHECK(told.code == 0);
    CHECK(told.out.starts_with("Audit of shift " + shift + "\n"));
    for (const char* id : {"(made)", "(open_points)", "(reasons)", "(by_gauge)", "(journal)"})
        CHECK(has(told.out, id));
    CHECK(has(told.out, "not read through"));
    const auto sound = run(audit(file, {"--shift", shift, "--verify"})).out;
    CHECK(has(sound, "sound up to entry "));
    // What it says on top is what stands in the sheets.
    CHECK_FALSE(has(sound, "Have it verified before you sign"));
    CHECK(has(told.out, "Have it verified before you sign"));

    const auto made = run(audit(file, {"--shift", shift, "--sheet", "made"}));
    CHECK(made.code == 0);
    CHECK(has(told.out, made.out));
    const auto german = run(audit(file, {"--shift", shift, "--language", "de"}));
    CHECK(german.code == 0);
    CHECK(german.out.starts_with("Audit der Schicht " + shift + "\n"));
}

TEST_CASE("An audit's files are written whole: a CSV for every sheet, JSON, and paper of the size asked for") {
    const Folder folder;
    const auto file = folder / "journal.sqlite";
    make_journal(file);
    const auto csv = folder / "sheets", json = folder / "audit.json", pdf = folder / "audit.pdf";
    const auto told = run(audit(file, {"--shift", shift_of(file), "--csv", csv.string(), "--json", json.string(),
                                       "--pdf", pdf.string(), "--paper", "letter", "--shop", "Kestrel Yard"}));
    INFO(told.err);
    CHECK(told.code == 0);
    CHECK(told.out.empty());
    const auto whole = boost::json::parse(read_file(json)).as_object();
    std::size_t files = 0;
    for (const auto& entry : std::filesystem::directory_iterator(csv)) {
        CHECK(entry.path().extension() == ".csv");
        ++files;
    }
    CHECK(files == whole.at("sheets").as_array().size());
    CHECK(files > 10);
    CHECK(read_file(csv / "made.csv").starts_with("\xEF\xBB\xBF"));
    CHECK(read_file(pdf).starts_with("%PDF-"));
    CHECK_FALSE(std::filesystem::exists(pdf.string() + ".new"));
}

TEST_CASE("A wrong question for an audit is told by name and writes nothing") {
    const Folder folder;
    const auto file = folder / "journal.sqlite";
    make_journal(file);
    const auto shift = shift_of(file);
    CHECK(run(audit(file, {})).code == 2);
    CHECK(run(audit(file, {"--from", "2026-13-01", "--to", "2026-13-02"})).code == 2);
    CHECK(run(audit(file, {"--shift", shift, "--paper", "a3"})).code == 2);
    CHECK(run(audit(file, {"--shift", shift, "--language", "fr"})).code == 2);
    const auto no_sheet = run(audit(file, {"--shift", shift, "--sheet", "nonsense"}));
    CHECK(no_sheet.code == 2);
    CHECK(has(no_sheet.err, "open_points"));
    CHECK(run(audit(file, {"--shift", "1999-01-01/1"})).code == 3);
    const auto nowhere = run(audit(file, {"--shift", shift, "--pdf", "/nowhere/at/all.pdf"}));
    CHECK(nowhere.code == 3);
    CHECK(has(nowhere.err, "/nowhere/at/all.pdf could not be written"));
    CHECK(run(audit(file, {"--shift", shift, "--study", "GS-1"})).code == 2);
    CHECK(run(audit(file, {"--study", "GS-1", "--sample", "RM-1"})).code == 2);
    const auto no_study = run(audit(file, {"--study", "GS-1"}));
    CHECK(no_study.code == 3);
    CHECK(has(no_study.err, "GS-1"));
    CHECK(run(audit(file, {"--sample", "RM-9"})).code == 3);
    CHECK(has(run({"help", "audit"}).out, "--hose-lot"));
    CHECK(has(run({"help", "audit"}).out, "--study ID"));
    CHECK(has(run({"help"}).out, "    audit "));
}
