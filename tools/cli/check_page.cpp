// crimpgate check-page: the page that checks tags, with the shop's tag keys in it, as one file to hand out.
#include <algorithm>

#include "specs/shown_text.h"
#include "station/http/check_page.h"
#include "station/journal/checkpoints.h"
#include "station/journal/journal.h"
#include "station/proof/signing_key.h"
#include "tools/cli/commands.h"

namespace crimpgate::cli {

namespace {

// Those behind --key, with commas between them; the first is the one in use.
Result<std::vector<CheckKey>> given_keys(const std::string& text) {
    std::vector<CheckKey> keys;
    for (std::size_t from = 0; from <= text.size();) {
        const auto to = std::min(text.find(',', from), text.size());
        const auto key = parse_verifier_key(std::string_view(text).substr(from, to - from));
        if (!key) return refuse(key.error());
        if (key->type != KeyType::ed25519) return refuse(message("verify.witness_as_key").with("name", key->name));
        keys.push_back({key->text(), from > 0});
        from = to + 1;
    }
    return keys;
}

// All that the journal knows, the newest first.
Result<std::vector<CheckKey>> journal_keys(const std::string& file) {
    JournalOptions options;
    options.access = JournalAccess::read;
    const auto journal = Journal::open(file, options);
    if (!journal) return refuse(journal.error());
    const auto known = station_keys(*journal);
    if (!known) return refuse(known.error());
    return check_keys(*known);
}

}  // namespace

int check_page(const CommandLine& line) {
    if (line.has("--key") == line.has("--journal")) return fail(Exit::wrong_use, message("check_page.keys_needed"));
    const auto keys = line.has("--key") ? given_keys(line.value("--key")) : journal_keys(line.value("--journal"));
    if (!keys) return fail(line.has("--key") ? Exit::wrong_use : Exit::cannot, keys.error());
    if (keys->empty()) return fail(Exit::cannot, message("check_page.no_keys"));
    print(check_page_alone(*keys));
    return Exit::fine;
}

}  // namespace crimpgate::cli
