// crimpgate: looks at tables, orders and journals. `crimpgate help` tells all.
#include <algorithm>
#include <csignal>
#include <cstdio>
#include <exception>
#include <string>
#include <vector>

#include "specs/shown_text.h"
#include "station/words/catalogue.h"
#include "tools/cli/commands.h"
#include "tools/cli/help.h"
#include "tools/cli/source.h"

using namespace crimpgate;
using namespace crimpgate::cli;

namespace {

struct Command {
    Grammar grammar;
    int (*run)(const CommandLine&);
};

std::vector<std::string_view> with_source(std::vector<std::string_view> more = {}) {
    more.insert(more.end(), std::begin(source_options), std::end(source_options));
    return more;
}

// Issued by a running station alone: its key signs.
std::vector<std::string_view> certificate_options(std::vector<std::string_view> more = {}) {
    more.insert(more.end(), {"--station", "--person", "--pin-file", "--statement", "--function", "--paper",
                             "--language", "--to", "--link-until"});
    return more;
}

// `journal verify FILE`: the file that --journal would name.
int verify_journal_file(const CommandLine& line) {
    CommandLine named;
    named.options = line.options;
    named.options["--journal"] = line.words.front();
    return verify(named);
}

std::vector<Command> commands() {
    return {
        {{"check-table", {"FILE"}, {}, {"--json"}}, &check_table},
        {{"check-order", {"FILE"}, {"--table", "--on", "--hose-age"}, {"--json"}}, &check_order},
        {{"orders", {}, with_source(), {"--json"}}, &orders},
        {{"holds", {}, with_source(), {"--json", "--all"}}, &holds},
        {{"trace", {"SERIAL"}, with_source(), {"--json"}}, &trace},
        {{"entries", {}, with_source({"--from", "--count"}), {"--json"}}, &cli::entries},
        {{"verify", {}, with_source({"--key", "--key-file", "--checkpoint"}), {"--json"}}, &verify},
        {{"verify FILE", {"FILE"}, {"--key", "--key-file", "--witness", "--record", "--language"}, {"--json"}},
         &verify_file},
        {{"journal verify", {}, with_source({"--key", "--key-file", "--checkpoint"}), {"--json"}}, &verify},
        {{"journal verify FILE", {"FILE"}, {"--key", "--key-file", "--checkpoint"}, {"--json"}}, &verify_journal_file},
        {{"check-page", {}, {"--key", "--journal"}, {}}, &check_page},
        {{"checkpoint list", {}, with_source({"--count"}), {"--json"}}, &checkpoint_list},
        {{"checkpoint show", {"SIZE"}, with_source(), {}}, &checkpoint_show},
        {{"checkpoint sign", {}, with_source(), {}}, &checkpoint_sign},
        {{"checkpoint proof", {"FROM", "TO"}, with_source(), {}}, &checkpoint_proof},
        {{"checkpoint bring", {"FILE"}, with_source({"--size"}), {}}, &checkpoint_bring},
        {{"checkpoint witness", {}, with_source({"--key", "--holder"}), {}}, &checkpoint_witness},
        {{"checkpoint forget-witness", {}, with_source({"--key", "--reason"}), {}}, &checkpoint_forget_witness},
        {{"compare", {"OLD", "NEW"}, with_source({"--key", "--key-file", "--witness", "--proof", "--handovers"}), {}},
         &compare},
        {{"witness-key", {"FILE"}, {"--name"}, {}}, &cli::witness_key},
        {{"countersign", {"CHECKPOINT"}, {"--key", "--log", "--since", "--proof", "--handovers", "--to"}, {}},
         &cli::countersign},
        {{"key show", {}, with_source(), {"--json"}}, &key_show},
        {{"key handovers", {}, with_source(), {}}, &key_handovers},
        {{"go-on-after-loss", {}, {"--config", "--person", "--pin-file", "--reason"}, {}}, &cli::go_on_after_loss},
        {{"key restore", {"FILE"}, {"--journal"}, {}}, &key_restore},
        {{"rebuild-views", {}, with_source(), {"--json"}}, &rebuild_views},
        {{"audit",
          {},
          with_source({"--shift", "--from", "--to", "--order", "--customer", "--spec", "--die-set", "--hose-lot",
                       "--gauge", "--by", "--study", "--sample", "--sheet", "--csv", "--json", "--pdf", "--paper",
                       "--language", "--shop"}),
          {"--verify"}},
         &cli::audit},
        {{"recall",
          {},
          with_source({"--hose-lot", "--fitting-lot", "--die-set", "--crimper",  "--gauge", "--spec",     "--revision",
                       "--by",       "--around",      "--count",   "--customer", "--order", "--from",     "--to",
                       "--csv",      "--json",        "--letters", "--reason",   "--paper", "--language", "--shop"}),
          {"--draw"}},
         &cli::recall},
        {{"delivery list", {}, with_source(), {"--json"}}, &delivery_list},
        {{"delivery show", {"DELIVERY"}, with_source(), {"--json"}}, &delivery_show},
        {{"delivery send", {}, with_source({"--customer", "--note", "--date", "--to", "--serials"}), {}},
         &delivery_send},
        {{"delivery take-back", {"DELIVERY"}, with_source({"--serials", "--reason"}), {}}, &delivery_take_back},
        {{"return list", {}, with_source(), {"--json"}}, &return_list},
        {{"return open", {}, with_source({"--serial", "--customer", "--received", "--reported"}), {"--hurt", "--json"}},
         &return_open},
        {{"return show", {"RETURN"}, with_source(), {"--all", "--json"}}, &return_show},
        {{"return report", {"RETURN"}, with_source({"--pdf", "--copy", "--paper", "--language"}), {}}, &return_report},
        {{"link list", {}, with_source(), {"--json"}}, &link_list},
        {{"link make", {}, with_source({"--customer", "--delivery", "--until"}), {"--by-tag", "--json"}}, &link_make},
        {{"link revoke", {"LINK"}, with_source({"--reason"}), {}}, &link_revoke},
        {{"certificate SERIAL", {"SERIAL"}, certificate_options(), {"--independent", "--with-link", "--json"}},
         &certificate},
        {{"certificate",
          {},
          certificate_options({"--order", "--delivery"}),
          {"--independent", "--with-link", "--json"}},
         &certificate},
        {{"back-up", {"TO"}, with_source(), {"--json"}}, &back_up},
    };
}

int show_help(const std::vector<std::string>& words) {
    const auto page = help_page(words.empty() ? std::string_view() : std::string_view(words.front()));
    if (page.empty()) return fail(Exit::wrong_use, message("cli.no_command").with("found", shown_text(words.front())));
    print(page);
    return Exit::fine;
}

int run(std::string name, std::vector<std::string> arguments) {
    // "delivery send": a command of two words.
    static constexpr std::string_view of_two[] = {"delivery", "checkpoint", "journal", "key", "link", "return"};
    const bool two = std::find(std::begin(of_two), std::end(of_two), name) != std::end(of_two);
    if (two && !arguments.empty() && !arguments.front().starts_with('-')) {
        name += ' ' + arguments.front();
        arguments.erase(arguments.begin());
    }
    // Of a file that left the house, unless it is told where a journal is.
    const auto given = [&](std::string_view option) {
        return std::find(arguments.begin(), arguments.end(), option) != arguments.end();
    };
    if (name == "verify" && !arguments.empty() && !given("--journal") && !given("--station")) name = "verify FILE";
    if (name == "journal verify" && !given("--journal") && !given("--station")) name = "journal verify FILE";
    if (name == "certificate" && !given("--order") && !given("--delivery")) name = "certificate SERIAL";
    if (name == "help" || name == "--help" || name == "-h") return show_help(arguments);
    for (const auto& command : commands()) {
        if (command.grammar.command != name) continue;
        for (const auto& word : arguments)
            if (word == "--help" || word == "-h") return show_help({name.substr(0, name.find(' '))});
        const auto line = parse_command_line(command.grammar, arguments);
        if (line) return command.run(*line);
        const int how = fail(Exit::wrong_use, line.error());
        std::fputs(std::string(usage_of(name.substr(0, name.find(' ')))).c_str(), stderr);
        return how;
    }
    if (two && name.find(' ') == std::string::npos) {
        std::fputs(std::string(usage_of(name)).c_str(), stderr);
        return Exit::wrong_use;
    }
    return fail(Exit::wrong_use, message("cli.no_command").with("found", shown_text(name)));
}

}  // namespace

int main(int argc, char* argv[]) {
    std::vector<std::string> words(argv + 1, argv + argc);
    if (words.empty()) {
        std::fputs(std::string(help_page({})).c_str(), stderr);
        return Exit::wrong_use;
    }
    const std::string name = words.front();
    words.erase(words.begin());
    int how = Exit::cannot;
    try {
        how = run(name, words);
    } catch (const std::exception& error) {
        how = fail(Exit::cannot, message("cli.fault").with("why", error.what()));
    }
    // Half an answer on a full disk must not look like a whole one.
    if (std::fflush(stdout) != 0 || std::ferror(stdout) != 0) how = fail(Exit::cannot, message("cli.output_failed"));
    return how;
}
