#include "station/daemon/station.h"

#include <spdlog/spdlog.h>

#include <atomic>
#include <boost/asio/executor_work_guard.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/signal_set.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/thread_pool.hpp>
#include <chrono>
#include <csignal>

#include "drivers/printer.h"
#include "reports/fonts.h"
#include "station/daemon/checkpoint_signer.h"
#include "station/daemon/desk.h"
#include "station/daemon/gauge_lines.h"
#include "station/daemon/key_change.h"
#include "station/daemon/tag_outbox.h"
#include "station/http/api.h"
#include "station/http/pages.h"
#include "station/http/server.h"
#include "station/http/tls_wire.h"
#include "station/http/trace_page.h"
#include "station/people/first_code.h"
#include "station/people/pins.h"
#include "station/proof/paper_seal.h"
#include "station/words/catalogue.h"

#ifndef CRIMPGATE_VERSION
#define CRIMPGATE_VERSION "unknown"
#endif

namespace crimpgate {

namespace {

constexpr std::int64_t session_idle_ms = 8LL * 3600 * 1000;

}  // namespace

struct Station::Parts {
    explicit Parts(Config c) : config(std::move(c)) {}

    Config config;
    boost::asio::io_context io{1};
    boost::asio::signal_set signals{io};
    boost::asio::steady_timer tending{io};  // of people who have gone and of their sessions
    bool stopped = false;
    SystemClock clock;
    std::optional<FontSet> fonts;
    std::optional<Journal> journal;
    std::unique_ptr<Desk> desk;
    std::optional<StationKeys> keys;
    bool key_is_new = false;  // to the journal
    std::optional<CheckpointSigner> signer;
    std::optional<KeyKeeper> keeper;
    std::unique_ptr<TagOutbox> tags;
    std::optional<Sessions> sessions;
    std::optional<SignInWaits> waits;
    std::optional<Api> api;
    std::optional<Pages> pages;
    std::optional<CustomerDoor> customers;
    std::optional<HttpServer> server;
    std::unique_ptr<GaugeLines> lines;
    // A print server may be slow or dead: jobs are handed over on a thread of their own, one after the other.
    std::atomic<bool> no_more_jobs{false};
    boost::asio::thread_pool printing{1};

    void hand_over(TagOutbox::Handover job, TagOutbox::Then then);
    void gauge_said(const std::string& id, const GaugeEvent& event);
    void gauge_state(const std::string& id, const LineState& state);
    void heard(const Entry& entry);
    Result<KeptCheckpoint> sign(const std::string& cause, const std::string& who);
    void told(const Result<KeptCheckpoint>& signed_one);
    Result<void> open_keys();
    HttpAnswer answer(const HttpRequest& request);
    void tend();
    void stop();
};

void Station::Parts::hand_over(TagOutbox::Handover job, TagOutbox::Then then) {
    auto busy = boost::asio::make_work_guard(io);  // the loop goes on until what became of it is in the journal
    boost::asio::post(printing, [this, busy, job = std::move(job), then = std::move(then)] {
        auto done = no_more_jobs ? refuse(message("printer.station_stops")) : job();
        boost::asio::post(io, [then, done = std::move(done)] { then(done); });
    });
}

void Station::Parts::gauge_said(const std::string& id, const GaugeEvent& event) {
    if (const auto ran = desk->run(commands::GaugeSaid{id, event}, {}); ran.refusal)
        spdlog::error("a reading of gauge {} was not recorded: {}", id, say(*ran.refusal));
}

void Station::Parts::gauge_state(const std::string& id, const LineState& state) {
    if (state.kind == LineState::Kind::connected) {
        spdlog::info("gauge {} is connected", id);
        desk->run(commands::GaugeReturned{id}, {});
    } else {
        spdlog::warn("gauge {} is gone: {}", id, say(state.why));
        desk->run(commands::GaugeGone{id, state.why}, {});
    }
}

void Station::Parts::heard(const Entry& entry) {
    if (server) server->wake_streams();
    // What follows from an entry is a command of its own, run once this one is through.
    if (entry.type == "assembly.passed") boost::asio::post(io, [this] { tags->work(); });
    if (entry.type == "shift.ended") boost::asio::post(io, [this] { sign("shift_end", {}); });
    if (entry.type == "printer.chosen") boost::asio::post(io, [this] { tags->retry({}); });
    if (entry.type == "gauge.line_set") boost::asio::post(io, [this] { lines->follow(desk->state().lines); });
    if (entry.type == "gauge.registered")
        boost::asio::post(io, [this] {
            for (const auto& line : lines->in_use())
                if (line.connected) desk->run(commands::GaugeReturned{line.gauge}, {});
        });
}

HttpAnswer Station::Parts::answer(const HttpRequest& request) {
    if (auto customer = customers->answer(request)) return std::move(*customer);
    if (auto page = pages->answer(request)) return std::move(*page);
    return (*api)(request);
}

Result<KeptCheckpoint> Station::Parts::sign(const std::string& cause, const std::string& who) {
    auto signed_one = signer->sign(cause, who);
    told(signed_one);
    return signed_one;
}

void Station::Parts::told(const Result<KeptCheckpoint>& signed_one) {
    if (!signed_one) spdlog::error("no checkpoint was signed: {}", say(signed_one.error()));
    for (const auto& why : signer->unwritten())
        spdlog::warn("{}", say(why));
}

// The key's file, made if there is none yet; the journal held against the checkpoints that were signed before. Nothing
// is written to the journal.
Result<void> Station::Parts::open_keys() {
    const auto beside = [&](const std::string& given, const char* otherwise) {
        return given.empty() ? journal->file().parent_path() / otherwise : std::filesystem::path(given);
    };
    const auto known = station_keys(*journal);
    if (!known) return refuse(known.error());
    const auto file = beside(config.record.key, "station.key");
    if (auto finished = finish_key_change(file, *known); !finished) return finished;
    auto opened = open_station_keys(file, config.record.name.empty() ? config.station.id : config.record.name, *known);
    if (!opened) return refuse(std::move(opened.error()));
    keys.emplace(std::move(opened->keys));
    key_is_new = opened->to_be_told;
    keeper.emplace(*desk, *keys, file);
    CheckpointSigner::Settings settings;
    settings.hourly = config.record.hourly;
    settings.folders.push_back(beside(config.record.checkpoints, "checkpoints"));
    if (!config.record.second_folder.empty()) settings.folders.emplace_back(config.record.second_folder);
    signer.emplace(*desk, *journal, clock, keys->checkpoints, std::move(settings));
    // A journal that lost its end must not go on as if nothing had been: its numbers would be given a second time.
    return signer->extends_the_newest();
}

void Station::Parts::tend() {
    tending.expires_after(std::chrono::seconds(1));
    tending.async_wait([this](const boost::system::error_code& error) {
        if (error || stopped) return;
        desk->sign_out_idle();
        if (const auto hourly = signer->tend()) told(*hourly);
        api->tend();
        tend();
    });
}

void Station::Parts::stop() {
    stopped = true;
    tending.cancel();
    no_more_jobs = true;
    lines->stop();
    desk->note(entries::StationStopped{"signal"});
    server->stop();
}

Station::Station(std::unique_ptr<Parts> parts) : parts_(std::move(parts)) {}
Station::~Station() = default;

tl::expected<std::unique_ptr<Station>, std::vector<Message>> Station::open(const Config& config,
                                                                           const std::string& pages) {
    auto parts = std::make_unique<Parts>(config);
    auto& p = *parts;
    std::vector<Message> wrong;
    p.lines = std::make_unique<GaugeLines>(
        p.io, p.clock, ProfileFolder(config.station.profiles),
        [&p](const std::string& id, const GaugeEvent& event) { p.gauge_said(id, event); },
        [&p](const std::string& id, const LineState& state) { p.gauge_state(id, state); });
    for (const auto& gauge : config.gauges)
        if (auto added = p.lines->add(gauge); !added) wrong.push_back(std::move(added.error()));
    auto fonts = FontSet::load(config.tag.fonts.empty() ? FontSet::built_directory() : config.tag.fonts);
    if (!fonts) wrong.push_back(std::move(fonts.error()));
    // The shop's name stands on every tag: refused here rather than at the first assembly that passes.
    if (fonts)
        if (auto fine = printable(config.station.shop, *fonts); !fine)
            wrong.push_back(std::move(fine.error()).with("field", "station.shop"));
    if (pages.empty()) {
        p.pages.emplace(built_pages());
    } else if (auto folder = Pages::from_folder(pages)) {
        p.pages.emplace(std::move(*folder));
    } else {
        wrong.push_back(std::move(folder.error()));
    }
    HttpDoor door;
    door.names = config.http.names;
    if (!config.http.certificate.empty()) {
        if (auto tls = TlsIdentity::load(config.http.certificate, config.http.key))
            door.tls = std::make_shared<const TlsIdentity>(std::move(*tls));
        else
            wrong.push_back(std::move(tls.error()));
    }
    if (!wrong.empty()) return tl::unexpected(std::move(wrong));
    p.fonts = std::move(*fonts);

    auto fail = [](Message m) { return tl::unexpected(std::vector<Message>{std::move(m)}); };
    JournalOptions options;
    options.station = config.station.id;
    auto journal = Journal::open(config.journal.file, options);
    if (!journal) return fail(std::move(journal.error()));
    p.journal.emplace(std::move(*journal));
    auto desk = Desk::open(*p.journal, bench_rules(config), p.clock, config.station.time_zone);
    if (!desk) return fail(std::move(desk.error()));
    p.desk = std::move(*desk);

    TagSettings tags;
    tags.shop = config.station.shop;
    tags.folder = config.tag.folder;
    tags.size = tag_size_of(config.tag.size).value_or(TagSize::mm100x150);
    tags.dpi = static_cast<int>(config.tag.dpi);
    tags.printer_name = config.tag.printer;
    p.tags = std::make_unique<TagOutbox>(
        *p.desk, *p.fonts, tags, [](const std::string& queue) { return std::make_shared<CupsPrinter>(queue); },
        [&p](TagOutbox::Handover job, TagOutbox::Then then) { p.hand_over(std::move(job), std::move(then)); });

    if (auto opened = p.open_keys(); !opened) return fail(std::move(opened.error()));
    p.tags->sign_with(p.keys->tags, config.record.link);
    p.pages->check_tags_with([&p] {
        const auto known = station_keys(*p.journal);
        const auto keys = known ? check_keys(*known) : Result<std::vector<CheckKey>>(refuse(known.error()));
        if (!keys) spdlog::error("the page that checks tags has no keys: {}", say(keys.error()));
        return keys.value_or(std::vector<CheckKey>());
    });
    const auto started = p.desk->note(
        entries::StationStarted{CRIMPGATE_VERSION, sha256_hex(canonical_text(config)), config.station.time_zone});
    if (started.refusal) return fail(*started.refusal);
    if (p.key_is_new) {
        const auto& key = p.keys->checkpoints.verifier();
        const auto told = p.desk->note(entries::KeyMade{key.name, key.text(), p.keys->tag_key_text()});
        if (told.refusal) return fail(*told.refusal);
    }
    if (auto recovered = p.tags->recover(); !recovered) return fail(std::move(recovered.error()));

    p.sessions.emplace(p.clock, session_idle_ms);
    p.waits.emplace(p.clock);
    ApiParts api;
    api.version = CRIMPGATE_VERSION;
    api.shop = config.station.shop;
    for (const auto& line : p.lines->in_use())
        api.gauges[line.gauge] = {line.profile, line.profile_sha256};
    api.lines = p.lines.get();
    api.wake = [&p] { p.server->wake_streams(); };
    api.printer = {config.tag.printer, config.tag.size, config.tag.dpi};
    api.certificates.address = config.station.address;
    api.certificates.place = config.station.place;
    api.certificates.link = config.record.link;
    api.certificates.sign = [&p](const std::string& cause, const std::string& who) { return p.sign(cause, who); };
    api.certificates.seal = [&p](std::string paper, const std::string& number) {
        return seal_paper(std::move(paper), number, p.keys->checkpoints);
    };
    api.checkpoints.sign = api.certificates.sign;
    api.checkpoints.unwritten = [&p] { return p.signer->unwritten(); };
    api.checkpoints.seed = [&p] { return p.keeper->seed(); };
    api.checkpoints.hand_over = [&p](const std::string& reason, const std::string& who) {
        auto changed = p.keeper->hand_over(reason, who);
        if (changed.unsettled) spdlog::error("{}", say(*changed.unsettled));
        return changed;
    };
    api.retry_tags = [&p](const std::string& who) { return p.tags->retry(who); };
    api.reprint = [&p](const std::string& serial, const std::string& reason, const std::string& who) {
        return p.tags->reprint(serial, reason, who);
    };
    if (p.desk->state().people.empty()) api.first_code = make_first_code();
    api.printable = [&p](std::string_view text) { return printable(text, *p.fonts); };
    p.api.emplace(*p.desk, *p.journal, *p.sessions, *p.waits, std::move(api));
    p.customers.emplace(
        *p.api, [&p](const std::string& path) { return p.pages->text(path); }, p.pages->served_under());
    p.server.emplace(
        p.io, HttpLimits{}, [&p](const HttpRequest& request) { return p.answer(request); }, std::move(door));
    p.desk->on_entry([&p](const Entry& entry) { p.heard(entry); });
    return std::unique_ptr<Station>(new Station(std::move(parts)));
}

Result<void> Station::start() {
    auto& p = *parts_;
    if (auto listening = p.server->start(p.config.http.address, static_cast<std::uint16_t>(p.config.http.port));
        !listening)
        return listening;
    p.lines->follow(p.desk->state().lines);
    p.lines->start();
    p.tend();
    p.signals.add(SIGINT);
    p.signals.add(SIGTERM);
    p.signals.async_wait([&p](const boost::system::error_code& error, int) {
        if (!error) p.stop();
    });
    return {};
}

std::uint16_t Station::port() const {
    return parts_->server->port();
}

const std::string& Station::first_code() const {
    return parts_->api->parts().first_code;
}

void Station::run() {
    parts_->io.run();
}

}  // namespace crimpgate
