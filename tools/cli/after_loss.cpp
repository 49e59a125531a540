// go-on-after-loss: the deliberate way out of a journal whose signed end is gone (station/daemon/lost_end.h). On the
// station's machine, with the station stopped.
#include <fmt/format.h>

#include "drivers/clock.h"
#include "specs/shown_text.h"
#include "station/daemon/config.h"
#include "station/daemon/local_time.h"
#include "station/daemon/lost_end.h"
#include "station/people/pins.h"
#include "tools/cli/commands.h"
#include "tools/cli/pin.h"

namespace crimpgate::cli {

namespace {

// Whether that person is here: by passphrase or PIN, as everywhere.
Result<void> proved(const BenchState& state, const std::string& person, const std::string& secret) {
    const auto known = state.people.find(person);
    if (known == state.people.end()) {
        pretend_to_check(secret);
        return refuse(message("people.wrong_pin"));
    }
    for (const auto& hash : {known->second.passphrase_hash, known->second.pin_hash})
        if (!hash.empty() && pin_fits(hash, secret)) return {};
    return refuse(message("people.wrong_pin"));
}

}  // namespace

int go_on_after_loss(const CommandLine& line) {
    for (const auto& [option, field] :
         {std::pair{"--config", "config"}, {"--person", "person"}, {"--reason", "reason"}})
        if (line.value(option).empty()) return fail(Exit::wrong_use, message("bench.field_empty").with("field", field));
    const auto config = load_config(line.value("--config"));
    if (!config) {
        for (const auto& error : config.error())
            (void)fail(Exit::cannot, error.why);
        return Exit::cannot;
    }
    JournalOptions options;
    options.station = config->station.id;
    auto journal = Journal::open(config->journal.file, options);
    if (!journal) return fail_with(journal.error());
    const auto beside = [&](const std::string& given, const char* otherwise) {
        return given.empty() ? journal->file().parent_path() / otherwise : std::filesystem::path(given);
    };
    const SystemClock clock;
    auto desk = Desk::open(*journal, bench_rules(*config), clock, config->station.time_zone);
    if (!desk) return fail_with(desk.error());
    const std::string person = line.value("--person");
    const auto secret = line.has("--pin-file") ? pin_from_file(line.value("--pin-file")) : pin_from_terminal(person);
    if (!secret) return fail(Exit::cannot, secret.error());
    if (const auto fine = proved((*desk)->state(), person, *secret); !fine) return fail(Exit::cannot, fine.error());

    const auto known = station_keys(*journal);
    if (!known) return fail_with(known.error());
    if (known->empty()) return fail(Exit::cannot, message("cli.no_station_key"));
    const auto key_file = beside(config->record.key, "station.key");
    if (const auto finished = finish_key_change(key_file, *known); !finished)
        return fail(Exit::cannot, finished.error());
    auto keys = open_station_keys(key_file, known->back().name, *known);
    if (!keys) return fail(Exit::cannot, keys.error());
    CheckpointSigner::Settings settings;
    settings.folders.push_back(beside(config->record.checkpoints, "checkpoints"));
    if (!config->record.second_folder.empty()) settings.folders.emplace_back(config->record.second_folder);
    const auto went_on =
        crimpgate::go_on_after_loss(**desk, *journal, clock, keys->keys, key_file, settings, line.value("--reason"),
                                    person, local_date((*desk)->now().utc_ms, config->station.time_zone));
    if (!went_on) return fail_with(went_on.error());
    print(
        fmt::format("Written down as lost: everything that was signed beyond this journal, up to {} entries. The "
                    "record goes on from "
                    "here with a new key:\n{}\nIts first checkpoint is over {} entries; {} files were moved to "
                    "lost-... beside it.\n"
                    "Give the new keys out (crimpgate key show), print a new recovery page, and tell every witness and "
                    "every customer "
                    "who holds one of the lost checkpoints: they will see two pasts, and this is why.\n",
                    went_on->lost.front().size, keys->keys.checkpoints.verifier().text(), went_on->first.size,
                    went_on->lost.size()));
    return Exit::fine;
}

}  // namespace crimpgate::cli
