// recall: from one thing in doubt to every assembly that shares it, as text, as files and as letters.
#include <filesystem>
#include <limits>

#include <fmt/format.h>
#include <boost/json.hpp>

#include "reports/recall_csv.h"
#include "specs/shown_text.h"
#include "station/words/finding_words.h"
#include "tools/cli/commands.h"
#include "tools/cli/files.h"
#include "tools/cli/source.h"
#include "tools/cli/text_table.h"

namespace crimpgate::cli {

namespace {

constexpr std::size_t rows_on_screen = 40;

constexpr std::pair<std::string_view, std::string_view> options[] = {{"--hose-lot", "hose_lot"},
                                                                     {"--fitting-lot", "fitting_lot"},
                                                                     {"--die-set", "die_set"},
                                                                     {"--crimper", "crimper"},
                                                                     {"--gauge", "gauge"},
                                                                     {"--spec", "spec_row"},
                                                                     {"--revision", "spec_revision"},
                                                                     {"--by", "operator"},
                                                                     {"--around", "around_serial"},
                                                                     {"--count", "around_count"},
                                                                     {"--customer", "customer"},
                                                                     {"--order", "order"}};

Result<void> word(const CommandLine& line, std::string_view option, std::string_view first, std::string_view second) {
    if (!line.has(option) || line.value(option) == first || line.value(option) == second) return {};
    return refuse(message("cli.bad_choice")
                      .with("option", option)
                      .with("found", shown_text(line.value(option)))
                      .with("may", fmt::format("{}, {}", first, second)));
}

std::string left_with(const RecallRow& row) {
    if (row.delivery.empty()) return "-";
    return fmt::format("{} {} {}", row.delivery, row.delivered, row.to);
}

std::string margin_of(const RecallRow& row, const Lengths& lengths) {
    if (!row.margin_nm) return "-";
    std::string place = row.margin_place == 0 ? std::string() : fmt::format(" {}", row.margin_place);
    return fmt::format("{} ({} {}{})", lengths.text(Length::from_nm(*row.margin_nm)), row.margin_end, row.margin_what,
                       place);
}

std::string text_of(const RecallMade& made, ShownUnit unit) {
    const Lengths lengths{length_unit(unit)};
    std::string out =
        fmt::format("{} assemblies, {} of them delivered. Record up to entry {}, list {}\n\n", made.found.assemblies,
                    made.found.delivered, made.found.upto_seq, made.found.list_sha256.substr(0, 12));
    TextTable customers({"customer", "assemblies", "delivered"});
    for (const auto& [customer, share] : made.found.customers)
        customers.add({shown_text(customer), std::to_string(share.assemblies), std::to_string(share.delivered)});
    if (!customers.empty()) out += customers.text() + "\n";
    TextTable table(
        {"serial", "order", "customer", "hose lot", "stage", fmt::format("margin {}", lengths.name()), "delivery"});
    for (std::size_t i = 0; i < made.rows.size() && i < rows_on_screen; ++i) {
        const auto& row = made.rows[i];
        std::string stage = row.stage;
        if (!row.hold_cause.empty()) stage += " (" + row.hold_cause + ")";
        if (!row.concession_reference.empty()) stage += ", CONCESSION";
        table.add({row.serial, shown_text(row.order), shown_text(row.customer), shown_text(row.hose_lot), stage,
                   margin_of(row, lengths), shown_text(left_with(row))});
    }
    if (!table.empty()) out += table.text();
    if (made.found.assemblies > static_cast<std::int64_t>(rows_on_screen))
        out += fmt::format("... and {} more; --csv FILE has them all\n",
                           made.found.assemblies - static_cast<std::int64_t>(rows_on_screen));
    return out;
}

// "Hafen Nord & Co." -> "hafen-nord-co": letters and digits of ASCII; what would be empty or meet another gets a
// number.
std::string file_part(const std::string& customer) {
    std::string out;
    for (const char c : customer) {
        const bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
        if (letter)
            out += c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c;
        else if (!out.empty() && out.back() != '-')
            out += '-';
    }
    while (out.ends_with('-'))
        out.pop_back();
    return out;
}

Result<std::size_t> write_letters(Source& source, const RecallMade& made, const LetterAsked& asked,
                                  const std::string& folder) {
    std::error_code why;
    std::filesystem::create_directories(folder, why);
    if (why) return refuse(message("cli.not_written").with("file", folder).with("reason", why.message()));
    std::size_t written = 0;
    for (const auto& [customer, share] : made.found.customers) {
        if (share.delivered == 0) continue;
        const auto pdf = source.recall_letter(made, asked, customer);
        if (!pdf) return refuse(pdf.error());
        const auto name = fmt::format("{}/letter-{:02}-{}.pdf", folder, ++written, file_part(customer));
        if (auto done = write_file(name, *pdf); !done) return refuse(done.error());
        print(name + "\n");
    }
    return written;
}

}  // namespace

int recall(const CommandLine& line) {
    RecallWanted wanted;
    for (const auto& [option, what] : options)
        if (line.has(option)) wanted.criteria.push_back({std::string(what), line.value(option)});
    wanted.from = line.value("--from");
    wanted.to = line.value("--to");
    if (auto ok = word(line, "--paper", "a4", "letter"); !ok) return fail(Exit::wrong_use, ok.error());
    if (auto ok = word(line, "--language", "en", "de"); !ok) return fail(Exit::wrong_use, ok.error());
    if (wanted.criteria.empty() && wanted.from.empty() && wanted.to.empty())
        return fail(Exit::wrong_use, message("recall.nothing_asked"));
    // What a letter says, and what is written down, has its reason.
    if ((line.has("--letters") || line.has("--draw")) && line.value("--reason").empty())
        return fail(Exit::wrong_use, message("bench.field_empty").with("field", "reason"));
    if (line.has("--letters") && line.has("--station") && !line.has("--draw"))
        return fail(Exit::wrong_use, message("cli.letters_need_draw"));

    bool wrong = false;
    const auto source = open_source(line, Access::read, wrong);
    if (!source) return wrong ? fail(Exit::wrong_use, source.error()) : fail_with(source.error());
    const bool whole = line.has("--csv") || line.has("--json") || line.has("--letters");
    const auto made = (*source)->recall(wanted, whole ? std::numeric_limits<std::size_t>::max() : rows_on_screen);
    if (!made) return fail_with(made.error());
    const auto unit = (*source)->shown_unit();
    if (!unit) return fail_with(unit.error());
    print(text_of(*made, *unit));
    if (line.has("--csv")) {
        std::string csv = recall_csv_head();
        for (const auto& row : made->rows)
            csv += recall_csv_row(row);
        if (const auto done = write_file(line.value("--csv"), csv); !done) return fail(Exit::cannot, done.error());
    }
    if (line.has("--json"))
        if (const auto done = write_file(line.value("--json"), boost::json::serialize(recall_json(*made)) + "\n");
            !done)
            return fail(Exit::cannot, done.error());
    LetterAsked asked;
    asked.reason = line.value("--reason");
    asked.shop = line.value("--shop");
    if (line.has("--language")) asked.language = line.value("--language");
    if (line.value("--paper") == "letter") asked.size = PaperSize::letter;
    if (line.has("--draw")) {
        const auto number = (*source)->draw_recall(wanted, asked.reason);
        if (!number) return fail_with(number.error());
        asked.recall = *number;
        print(fmt::format("Written down as recall {}.\n", *number));
    }
    if (line.has("--letters")) {
        const auto written = write_letters(**source, *made, asked, line.value("--letters"));
        if (!written) return fail_with(written.error());
        if (*written == 0) print("Nothing of it was delivered: there is no letter to write.\n");
    }
    return Exit::fine;
}

}  // namespace crimpgate::cli
