// crimpgate-million: a very large journal, for timing what must stay quick on one.
//
// Every assembly has its entries in the order in which a bench writes them, bodies complete, and readings that differ;
// but nobody decided anything: they are written down straight, since a bench that works takes ten times as long. It is
// for benchmarks, not for an audit.
#include <algorithm>
#include <chrono>
#include <cstdio>
#include <filesystem>
#include <string>

#include <fmt/format.h>

#include "specs/dates.h"
#include "specs/serial.h"
#include "station/entries/entry_json.h"
#include "station/journal/database.h"
#include "station/journal/journal.h"
#include "station/words/catalogue.h"
#include "tools/shared/arguments.h"
#include "tools/year/dice.h"
#include "tools/year/shop.h"

namespace {

using namespace crimpgate;
namespace fs = std::filesystem;

constexpr const char* help = R"(NAME
    crimpgate-million - makes a very large journal, for timing

SYNOPSIS
    crimpgate-million FILE [--assemblies N]

DESCRIPTION
    Writes orders of 25 assemblies for 40 customers, each delivered whole, 200 orders (5000 assemblies) a hose lot, 160
    assemblies a shift, until there are N of them (1000000). The file is not flushed to the disk entry by entry.
)";

constexpr std::int64_t per_order = 25, per_lot = 5'000, per_shift = 160, customers = 40;

class Writer {
  public:
    Writer(Journal& journal, std::int64_t assemblies) : journal_(journal), assemblies_(assemblies) {}

    Result<void> write() {
        open_the_shop();
        std::int64_t counter = -1;
        for (std::int64_t n = 0; n < assemblies_ && outcome_; ++n) {
            if (n % per_shift == 0) begin_shift(n);
            if (n % per_order == 0) begin_order(n);
            const auto next = next_serial("M1", counter);
            if (!next) return refuse(next.error());
            counter = next->counter;
            make(n, next->serial.text(), counter);
            if ((n + 1) % per_order == 0) deliver(n);
            if (drafts_.size() > 5'000) flush();
            if (n % 10'000 == 0) std::fprintf(stderr, "\r%lld", static_cast<long long>(n));
        }
        flush();
        std::fputs("\r", stderr);
        return outcome_;
    }

  private:
    template <class Body>
    std::int64_t add(const Body& body, const std::string& who = {}) {
        drafts_.push_back({std::string(Body::type), to_json(EntryBody(body)), who});
        return ++seq_;
    }
    void flush() {
        if (drafts_.empty() || !outcome_) return;
        ms_ += 1;
        Stamp stamp{ms_, mono_ns_ += 1'000'000'000, "7d1b0000-0000-4000-8000-000000000001", true};
        auto done = journal_.append(std::move(drafts_), stamp);
        drafts_.clear();
        if (!done) outcome_ = refuse(std::move(done.error()));
    }

    void open_the_shop() {
        add(entries::StationStarted{"0", "0", "UTC"});
        for (const auto& person : year::people())
            add(entries::PersonAdded{person.id, person.name, person.role, "", "", person.id, "en"});
        entries::TableAdopted table;
        table.table = "large";
        for (std::size_t i = 0; i < year::spec_count; ++i)
            table.rows.push_back(year::spec_row(i));
        add(table, year::leads[0]);
        for (std::size_t i = 0; i < 2; ++i)
            add(year::caliper(i, "2020-01-01", "2099-01-01"), year::leads[0]);
    }

    void begin_shift(std::int64_t n) {
        flush();
        if (!shift_.empty()) add(entries::ShiftEnded{shift_}, worker());
        ms_ = first_ms + n / per_shift * 12 * 3'600'000;
        const std::int64_t day = n / per_shift / 2;
        const auto date = fmt::format("{}", iso_day(day));
        shift_ = fmt::format("{}/{}", date, n / per_shift % 2 + 1);
        worker_ = static_cast<std::size_t>(n / per_shift % 3);
        add(entries::ShiftStarted{shift_, date, n / per_shift % 2 + 1}, worker());
        for (std::size_t i = 0; i < 2; ++i) {
            entries::GaugeProved proved;
            proved.gauge = year::calipers[i];
            proved.reference = year::ring;
            proved.size = proved.value = 25'000_um;
            proved.limit = 20_um;
            proved.passed = true;
            proved.valid_until_utc_ms = ms_ + 12 * 3'600'000;
            proof_[i] = add(proved, worker());
        }
    }
    // The day that lies that many days after 2020-01-01.
    static std::string iso_day(std::int64_t day) {
        return to_text(
            Date(std::chrono::sys_days(Date(std::chrono::year(2020), std::chrono::January, std::chrono::day(1))) +
                 std::chrono::days(day)));
    }

    void begin_order(std::int64_t n) {
        order_ = entries::OrderOpened{};
        order_.order = fmt::format("WO-{}", n / per_order + 1);
        customer_ = n / per_order % customers;
        order_.customer = fmt::format("Customer {:02} (invented)", customer_ + 1);
        order_.customer_part = fmt::format("P-{}", n / per_order % 7 + 1);
        order_.quantity = per_order;
        row_ = year::spec_row(static_cast<std::size_t>(n / per_lot) % year::spec_count);
        order_.spec_a = order_.spec_b = row_.spec_id;
        order_.overall_length = Length::from_um(750'000);
        order_.length_rule = "din20066";
        order_.hose_lots = {{fmt::format("H-{}", n / per_lot + 1), "1Q26"}};
        order_.fitting_a_lots = {{fmt::format("FA-{}", n / 2'000 + 1), ""}};
        order_.fitting_b_lots = {{fmt::format("FB-{}", n / 3'000 + 1), ""}};
        add(order_, year::setter);
        add(entries::OrderTaken{order_.order}, worker());
        add(entries::LotsConfirmed{order_.order, order_.hose_lots[0].lot, order_.fitting_a_lots[0].lot,
                                   order_.fitting_b_lots[0].lot},
            worker());
        add(entries::DieConfirmed{row_.die_set, row_.crimper, row_.setting}, worker());
        serials_.clear();
    }

    void make(std::int64_t n, const std::string& serial, std::int64_t counter) {
        entries::AssemblyStarted started;
        started.serial = serial;
        started.counter = counter;
        started.order = order_.order;
        started.customer = order_.customer;
        started.customer_part = order_.customer_part;
        started.hose_lot = order_.hose_lots[0].lot;
        started.fitting_a_lot = order_.fitting_a_lots[0].lot;
        started.fitting_b_lot = order_.fitting_b_lots[0].lot;
        started.row_a = started.row_b = row_;
        started.working_pressure = row_.hose.working_pressure.pressure;
        started.overall_length = order_.overall_length;
        started.cut_length = order_.overall_length - row_.fitting.cut_off - row_.fitting.cut_off;
        started.length_rule = order_.length_rule;
        started.shift = shift_;
        add(started, worker());
        for (const End end : {End::a, End::b}) {
            measure(serial, end, Characteristic::depth, 0, row_.depth, n);
            entries::EndJudged judged;
            Length sum;
            for (const auto flat : {row_.flats[0], row_.flats[1]})
                sum = sum + measure(serial, end, Characteristic::crimp_diameter, flat, row_.crimp, n);
            judged.serial = serial;
            judged.end = end;
            judged.mean = Length::from_nm(sum.nm() / 2);
            judged.spread = Length::from_um(dice_.between(0, 6) * 10);
            judged.conformity_ppm = 999'000;
            add(judged, worker());
        }
        add(entries::AssemblyPassed{serial, order_.order, "", 0}, worker());
        add(entries::TagPrinting{serial, 0, "", "", serial + ".pdf", ""});
        add(entries::TagPrinted{serial, 0, ""});
        serials_.push_back(serial);
    }

    Length measure(const std::string& serial, End end, Characteristic what, std::int64_t flat, const Toleranced& of,
                   std::int64_t n) {
        entries::ReadingTaken taken;
        taken.serial = serial;
        taken.end = end;
        taken.what = what;
        taken.flat = flat;
        const auto gauge = static_cast<std::size_t>(n % 2);
        taken.gauge = year::calipers[gauge];
        taken.proof_seq = proof_[gauge];
        taken.value = of.nominal + Length::from_um(dice_.between(-8, 8) * 10);
        taken.resolution = 10_um;
        taken.raw_hex = "3031412b30303032352e35300d";
        taken.arrived_utc_ms = ms_;
        taken.lower = of.band().lower;
        taken.upper = of.band().upper;
        taken.guard = 20_um;
        taken.uncertainty = 12_um;
        taken.verdict = Verdict::conforms;
        taken.side = Side::none;
        add(taken, worker());
        return taken.value;
    }

    void deliver(std::int64_t n) {
        entries::DeliverySent sent;
        sent.delivery = fmt::format("DL-{}", n / per_order + 1);
        sent.customer = order_.customer;
        sent.note_number = fmt::format("{}", 90'000 + n / per_order);
        sent.date = shift_.substr(0, 10);
        sent.to = fmt::format("yard {}", customer_ + 1);
        sent.serials = serials_;
        add(sent, year::leads[0]);
    }

    const std::string& worker() const { return worker_names_[worker_]; }

    static constexpr std::int64_t first_ms = 1'577'836'800'000;  // 2020-01-01
    Journal& journal_;
    std::int64_t assemblies_;
    Result<void> outcome_;
    std::vector<Draft> drafts_;
    std::int64_t seq_ = 0, ms_ = first_ms, mono_ns_ = 0, customer_ = 0;
    std::string shift_;
    std::size_t worker_ = 0;
    std::vector<std::string> worker_names_{year::operators[0], year::operators[1], year::operators[2]};
    std::int64_t proof_[2] = {0, 0};
    entries::OrderOpened order_;
    SpecRow row_;
    std::vector<std::string> serials_;
    year::Dice dice_{1};
};

int give_up(const Message& why) {
    std::fprintf(stderr, "crimpgate-million: %s\n", say(why).c_str());
    return 1;
}

}  // namespace

int main(int argc, char** argv) {
    const bool asked =
        std::any_of(argv + 1, argv + argc, [](const char* a) { return std::string_view(a) == "--help"; });
    if (asked || argc < 2) {
        std::fputs(help, asked ? stdout : stderr);
        return asked ? 0 : 2;
    }
    const fs::path file = fs::absolute(argv[1]);
    const auto given = Arguments::parse(argc - 1, argv + 1, {"--assemblies"}, {});
    if (!given) return give_up(given.error());
    std::int64_t assemblies = 1'000'000;
    if (given->has("--assemblies")) {
        const auto number = given->number("--assemblies", 1, 10'000'000);
        if (!number) return give_up(number.error());
        assemblies = *number;
    }
    if (fs::exists(file)) return give_up(message("year.file_there").with("file", file.string()));

    const auto from = std::chrono::steady_clock::now();
    JournalOptions options;
    options.station = "bench-1";
    auto journal = Journal::open(file, options);
    if (!journal) return give_up(journal.error());
    journal->database().exec("PRAGMA synchronous = OFF");
    journal->database().exec("PRAGMA cache_size = -400000");
    if (const auto written = Writer(*journal, assemblies).write(); !written) return give_up(written.error());
    journal->database().text("PRAGMA wal_checkpoint(TRUNCATE)");
    const auto entries = journal->last_seq();
    if (!entries) return give_up(entries.error());
    const double seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - from).count();
    std::printf("%lld assemblies, %lld entries in %.0f s (%.0f a second), %.0f MB\n",
                static_cast<long long>(assemblies), static_cast<long long>(*entries), seconds,
                static_cast<double>(*entries) / seconds, static_cast<double>(fs::file_size(file)) / 1e6);
    return 0;
}
