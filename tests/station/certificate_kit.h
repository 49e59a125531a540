// A shop whose bench has really worked, with a journal of its own: what certificates are made of.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "station/daemon/certificate_issue.h"
#include "station/entries/entry_json.h"
#include "station/proof/checkpoint.h"
#include "station/proof/paper_seal.h"
#include "station/words/catalogue.h"
#include "tests/station/journal_kit.h"
#include "tests/support/bench_fixture.h"
#include "tests/support/catch.h"

namespace crimpgate::test {

using journal_kit::must;

inline SigningKey station_key() {
    Seed seed{};
    seed.fill(7);
    return {"bench-1", KeyType::ed25519, seed};
}

inline entries::PersonAdded person(const std::string& id, Role role) {
    return {id, "Person " + id, role, "$argon2id$a-hash-that-must-stay-inside"};
}

// A shop with two customers' orders: A-100 of the fixture, B-200 of somebody else. Everything that the bench decides is
// in a journal of its own.
class Shop {
  public:
    explicit Shop(const SpecRow& row = bench_row()) : journal_(journal_kit::open_journal(folder_ / "bench.journal")) {
        bench = Bench::ready(row, row);
        flush();
        const auto key = station_key();
        add(entries::KeyMade{key.verifier().name, key.verifier().text(), to_base64(std::string(32, 'x'))});
        add(person("NEW", Role::lead));
        add(entries::SecretSet{"NEW", Secret::pin, "$argon2id$another-hash-that-must-stay-inside"});
    }
    // What the bench has decided since the last time.
    void flush() {
        std::vector<Draft> drafts;
        for (; written_ < bench.log.size(); ++written_)
            drafts.push_back(journal_kit::draft(bench.log[written_].body, bench.log[written_].facts.who));
        if (drafts.empty()) return;
        // Numbers in the journal are the bench's as long as nobody else writes.
        REQUIRE(must(journal_.last_seq()) + 1 == bench.log[written_ - drafts.size()].facts.seq);
        must(journal_.append(std::move(drafts), journal_kit::at(static_cast<std::int64_t>(written_))));
    }
    void add(const EntryBody& body, const std::string& who = "SET") {
        flush();
        must(journal_.append({journal_kit::draft(body, who)}, journal_kit::at(1000)));
        const auto seq = must(journal_.last_seq());
        apply(bench.state, Facts{seq, bench.now.utc_ms, who}, body);
        bench.log.push_back({Facts{seq, bench.now.utc_ms, who}, body});
        written_ = bench.log.size();
    }
    KeptCheckpoint checkpoint() {
        flush();
        const auto size = must(journal_.last_seq());
        const auto root = must(journal_.root(size));
        add(entries::CheckpointSigned{size, to_base64(root), sign_checkpoint(size, root, station_key()).bytes(),
                                      "asked"});
        return *must(last_checkpoint(journal_));
    }
    // A whole assembly of good steps; its serial.
    std::string good() {
        const auto serial = bench.good_assembly();
        flush();
        return serial;
    }
    // Another customer's order, taken at once.
    void take_other_order() {
        auto order = bench_order("B-200", bench.state.rows.begin()->first, bench.state.rows.begin()->first);
        order.customer = "Quillhaven (invented)";
        order.customer_part = "QH-9";
        REQUIRE(bench.ask(commands::OpenOrder{order}, "LEA").empty());
        REQUIRE(bench.ask(commands::TakeOrder{"B-200"}).empty());
        REQUIRE(bench.ask(commands::ConfirmLots{"H-1", "FA-1", "FB-1"}).empty());
        flush();
    }
    const Journal& journal() const { return journal_; }

    CertificateIssuer issuer(const std::string& who = "LEA") const {
        CertificateIssuer out;
        out.shop = "Corvane Hose Works";
        out.address = "Tidewall 4, Invented Harbour";
        out.place = "Invented Harbour";
        out.station = "bench-1";
        out.time_zone = "Europe/Berlin";
        out.person = who;
        for (const auto& [id, known] : bench.state.people)
            out.names[id] = known.name;
        out.number = "CF-1";
        out.now_ms = bench.now.utc_ms;
        out.say = [](const std::string&, const Message& m) { return say(m); };
        return out;
    }
    static CertificateAsked asked(const std::string& subject, const std::string& id) {
        CertificateAsked out;
        out.subject = subject;
        out.id = id;
        out.function = "QC lead";
        return out;
    }

    Bench bench;

  private:
    journal_kit::Folder folder_;
    Journal journal_;
    std::size_t written_ = 0;
};

}  // namespace crimpgate::test
