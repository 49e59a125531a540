// audit: what was made, as text and as files, from a journal or a running station.
#include <filesystem>
#include <limits>

#include <fmt/format.h>
#include <boost/json.hpp>

#include "reports/audit/audit_csv.h"
#include "reports/audit_pdf.h"
#include "specs/shown_text.h"
#include "station/daemon/audit_json.h"
#include "station/daemon/audit_reading.h"
#include "station/daemon/audit_source.h"
#include "station/daemon/local_time.h"
#include "station/http/page_words.h"
#include "tools/cli/audit_text.h"
#include "tools/cli/commands.h"
#include "tools/cli/files.h"
#include "tools/cli/source.h"
#include "tools/cli/text_table.h"

namespace crimpgate::cli {

namespace {

namespace json = boost::json;

constexpr std::size_t rows_on_screen = 40;

// "--die-set" for "die_set"; the person who asks has --person already, so whoever did the work is --by.
std::string option_for(std::string_view name) {
    if (name == "person") return "--by";
    std::string out = "--" + std::string(name);
    for (auto& c : out)
        if (c == '_') c = '-';
    return out;
}

Result<std::string> choice(const CommandLine& line, std::string_view option, std::string_view first,
                           std::string_view second) {
    if (!line.has(option)) return std::string(first);
    const auto given = line.value(option);
    if (given == first || given == second) return given;
    return refuse(message("cli.bad_choice")
                      .with("option", option)
                      .with("found", shown_text(given))
                      .with("may", fmt::format("{}, {}", first, second)));
}

Result<void> write_csv(const audit::Audit& made, const std::string& folder) {
    std::error_code why;
    std::filesystem::create_directories(folder, why);
    if (why) return refuse(message("cli.not_written").with("file", folder).with("reason", why.message()));
    for (const auto& sheet : made.sheets)
        if (const auto done = write_file(folder + "/" + sheet.id + ".csv", audit::sheet_csv(sheet)); !done) return done;
    return {};
}

Result<void> write_pdf(const audit::Audit& made, AuditPaper paper, const std::string& file) {
    const auto pdf = audit_pdf(made, paper);
    if (!pdf) return refuse(pdf.error());
    return write_file(file, *pdf);
}

std::string names_of(const audit::Audit& made) {
    std::string out;
    for (const auto& sheet : made.sheets)
        out += (out.empty() ? "" : ", ") + sheet.id;
    return out;
}

}  // namespace

int audit(const CommandLine& line) {
    AuditWanted wanted;
    for (const auto& [name, member] : scope_members)
        wanted.scope.*member = line.value(option_for(name));
    wanted.study = line.value("--study");
    wanted.sample = line.value("--sample");
    const auto size = choice(line, "--paper", "a4", "letter");
    if (!size) return fail(Exit::wrong_use, size.error());
    const auto language = choice(line, "--language", "en", "de");
    if (!language) return fail(Exit::wrong_use, language.error());
    if (const auto good = check_wanted(wanted); !good) return fail(Exit::wrong_use, good.error());

    bool wrong = false;
    const auto source = open_source(line, Access::read, wrong);
    if (!source) return wrong ? fail(Exit::wrong_use, source.error()) : fail_with(source.error());
    // First, so that the audit says what came of it.
    if (line.has("--verify"))
        if (const auto verified = (*source)->verify(); !verified) return fail_with(verified.error());
    const auto answer = (*source)->audit(wanted);
    if (!answer) return fail_with(answer.error());
    const auto made = audit_in(*answer);
    if (!made) return fail(Exit::cannot, made.error());

    AuditPaper paper;
    paper.size = *size == "letter" ? PaperSize::letter : PaperSize::a4;
    paper.shop = line.value("--shop");
    paper.reader.language = *language;
    paper.reader.people = made->people;
    paper.reader.say = [language = *language](const Message& m) { return say_in(language, m); };
    if (!made->time_zone.empty() && check_time_zone(made->time_zone))
        paper.reader.local_time = [zone = made->time_zone](std::int64_t ms) { return local_time_text(ms, zone); };

    if (line.has("--sheet")) {
        const auto* sheet = audit::find_sheet(*made, line.value("--sheet"));
        if (sheet == nullptr)
            return fail(Exit::wrong_use, message("cli.no_sheet")
                                             .with("sheet", shown_text(line.value("--sheet")))
                                             .with("sheets", names_of(*made)));
        print(sheet_text(*sheet, paper.reader, std::numeric_limits<std::size_t>::max()));
    } else if (!line.has("--csv") && !line.has("--json") && !line.has("--pdf")) {
        print(audit_text(*made, paper.reader, rows_on_screen));
    }
    if (line.has("--csv"))
        if (const auto done = write_csv(*made, line.value("--csv")); !done) return fail(Exit::cannot, done.error());
    if (line.has("--json"))
        if (const auto done = write_file(line.value("--json"), json::serialize(audit_json(*made)) + "\n"); !done)
            return fail(Exit::cannot, done.error());
    if (line.has("--pdf"))
        if (const auto done = write_pdf(*made, paper, line.value("--pdf")); !done)
            return fail(Exit::cannot, done.error());
    if (made->journal.damage) return fail(Exit::found_wrong, *made->journal.damage);
    return Exit::fine;
}

}  // namespace crimpgate::cli
