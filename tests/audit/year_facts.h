// A year at an invented bench: 250 days, two set-ups a day, 40 ends a set-up, two die sets, three gauges that change
// hands within a set-up, hose lots of some weeks. Set-ups differ by 8 um (standard deviation), ends of a set-up by 6
// um. Faults are planted on request. The random numbers are the same everywhere: mt19937_64 is fixed by the C++
// standard, and the normal ones are made here by Box and Muller's formula.
#pragma once

#include <algorithm>
#include <chrono>
#include <cmath>
#include <numbers>
#include <random>
#include <string>

#include <fmt/format.h>

#include "reports/audit/audit.h"
#include "tests/audit/small_facts.h"

namespace audit_test {

struct Planted {
    bool die_wears = false;       // D2, by 40 um from the first to the last day
    bool setting_bumped = false;  // day 100: 60 um more after the tenth assembly of its first set-up, and in its second
    bool gauge_off = false;       // G2 reads 15 um more in the ISO week of day 150
    bool gauge_proofs_too = false;  // and its proofs say so
    bool hose_lot_bad = false;      // H07 comes out 30 um larger
    bool hose_lot_ragged = false;   // H11: the places of an end differ twice as much
};

class Chance {
  public:
    explicit Chance(std::uint64_t number) : engine_(number) {}
    double normal() {
        const double u = (static_cast<double>(engine_() >> 11) + 0.5) / 9007199254740992.0;
        const double v = static_cast<double>(engine_() >> 11) / 9007199254740992.0;
        return std::sqrt(-2 * std::log(u)) * std::cos(2 * std::numbers::pi * v);
    }
    std::size_t below(std::size_t n) { return static_cast<std::size_t>(engine_() % n); }

  private:
    std::mt19937_64 engine_;
};

inline Length um(double value) {
    return Length::from_nm(std::llround(value * 1000));
}

inline AuditFacts year_facts(std::uint64_t number, const Planted& planted = {}) {
    using namespace std::chrono;
    Chance chance(number);
    AuditFacts facts;
    facts.time_zone = "Europe/Vienna";
    facts.today = "2026-12-31";
    facts.watch_rules = {"beyond_three_sigma"};
    for (const char* die : {"D1", "D2"})
        facts.streams.push_back(
            {std::string("S16|1|C1|") + die, "S16", "1", "C1", die, 24'800_um, 25'200_um, 25'000_um, 4});
    for (const char* gauge : {"G1", "G2", "G3"}) {
        GaugeFact g;
        g.gauge = gauge;
        g.resolution = 10_um;
        g.proof_limit = 20_um;
        facts.gauges.push_back(g);
    }
    std::int64_t seq = 0;
    const sys_days first{2026y / January / 5};  // a Monday
    for (int day = 0; day < 250; ++day) {
        const sys_days at = first + days{day / 5 * 7 + day % 5};
        const year_month_day date{at};
        const std::string text = fmt::format("{:04}-{:02}-{:02}", static_cast<int>(date.year()),
                                             static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()));
        const bool off_week = planted.gauge_off && day / 5 == 30;
        std::int64_t ms = duration_cast<milliseconds>(at.time_since_epoch()).count() + 6 * 3'600'000;
        for (const char* gauge : {"G1", "G2", "G3"})
            for (int i = 0; i < 2; ++i) {
                ProofFact p;
                p.seq = ++seq;
                p.ms = ms + i * 8 * 3'600'000;
                p.gauge = gauge;
                const bool off = off_week && planted.gauge_proofs_too && p.gauge == "G2";
                p.error = Length::from_um(10 * std::llround((3 * chance.normal() + (off ? 15 : 0)) / 10));
                p.limit = 20_um;
                p.passed = true;
                facts.proofs.push_back(p);
            }
        for (int of_day = 0; of_day < 2; ++of_day) {
            const std::string die = of_day == 0 ? "D1" : "D2";
            const int lot_number = day / 12 + 1;
            const std::string lot = fmt::format("H{:02}", lot_number);
            SetupFact s;
            s.seq = ++seq;
            s.ms = ms += 600'000;
            s.spec = "S16";
            s.revision = "1";
            s.crimper = "C1";
            s.die_set = die;
            s.hose_lot = lot;
            s.passed = true;
            facts.setups.push_back(s);
            double level = 8 * chance.normal();
            if (planted.die_wears && die == "D2") level += 40.0 * day / 249;
            if (planted.hose_lot_bad && lot_number == 7) level += 30;
            const std::string person = std::string(1, static_cast<char>('p' + chance.below(3)));
            for (int piece = 0; piece < 20; ++piece) {
                AssemblyFact a;
                a.serial = fmt::format("S{:05}", facts.assemblies.size());
                a.shift = text + "/1";
                a.hose_lot = lot;
                a.fitting_a_lot = fmt::format("FA{}", day / 17);
                a.fitting_b_lot = fmt::format("FB{}", day / 23);
                a.spec_a = a.spec_b = "S16";
                a.revision_a = a.revision_b = "1";
                a.die_set_a = a.die_set_b = die;
                a.crimper_a = a.crimper_b = "C1";
                a.stage = "passed";
                a.started_seq = ++seq;
                a.started_ms = ms;
                facts.assemblies.push_back(a);
                const std::string gauge = fmt::format("G{}", 1 + chance.below(3));
                for (const char* name : {"a", "b"}) {
                    ms += 60'000;
                    double value = level + 6 * chance.normal();
                    if (planted.setting_bumped && day == 100 && (of_day == 1 || piece >= 10)) value += 60;
                    if (off_week && gauge == "G2") value += 15;
                    ReadingFact r;
                    r.seq = ++seq;
                    r.ms = ms;
                    r.purpose = "assembly";
                    r.serial = a.serial;
                    r.end = name;
                    r.what = "crimp_diameter";
                    r.gauge = gauge;
                    r.flat = 1;
                    r.verdict = "conforms";
                    r.resolution = 10_um;
                    r.value = um(25'000 + value);
                    facts.readings.push_back(r);
                    EndFact e;
                    e.seq = ++seq;
                    e.ms = ms;
                    e.serial = a.serial;
                    e.end = name;
                    e.verdict = "conforms";
                    e.person = person;
                    e.mean = um(25'000 + value);
                    const double ragged = planted.hose_lot_ragged && lot_number == 11 ? 2 : 1;
                    e.spread = um(std::abs(12 + 4 * chance.normal()) * ragged);
                    facts.ends.push_back(e);
                }
            }
        }
    }
    return facts;
}

// The same year with three more set-up pieces on every mounting, each after five assemblies: the die set stays in, so
// the level stays as it is.
inline AuditFacts set_up_often(AuditFacts facts) {
    std::vector<SetupFact> more;
    std::size_t assembly = 0;
    for (SetupFact& setup : facts.setups) {
        setup.mounting_seq = setup.seq;
        for (int piece = 0; piece < 20; ++piece, ++assembly) {
            if (piece == 0 || piece % 5 != 0) continue;
            SetupFact again = setup;
            again.seq = facts.assemblies.at(assembly).started_seq;
            again.ms = facts.assemblies.at(assembly).started_ms;
            more.push_back(again);
        }
    }
    facts.setups.insert(facts.setups.end(), more.begin(), more.end());
    std::sort(facts.setups.begin(), facts.setups.end(), [](const auto& a, const auto& b) { return a.seq < b.seq; });
    return facts;
}

}  // namespace audit_test
