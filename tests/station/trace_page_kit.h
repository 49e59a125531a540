// A station that made one assembly for each of three orders, of two customers, and sent each with a delivery of its
// own; links to all of it. What belongs to whom is told apart by words that stand nowhere else.
#pragma once

#include <map>
#include <string>
#include <vector>

#include <boost/json.hpp>

#include "api_station.h"
#include "station/http/trace_page.h"
#include "tests/support/bench_fixture.h"
#include "tests/support/catch.h"

namespace crimpgate::test {

struct TraceStation {
    struct Made {
        std::string customer, order, serial, delivery, certificate;
        std::vector<std::string> lots;
        // Every word that says that there is such a thing.
        std::vector<std::string> telling() const {
            auto out = lots;
            for (const auto& word : {order, serial, delivery, certificate})
                if (!word.empty()) out.push_back(word);
            return out;
        }
        std::string subject(std::string_view about) const {
            if (about == "serial") return serial;
            if (about == "order") return order;
            if (about == "lot") return lots.front();
            return certificate + ".pdf";
        }
    };
    struct Link {
        std::string number, token;
    };

    // `link`: [record] link of the configuration.
    explicit TraceStation(const std::string& link = {}) : station({}, link) {
        station.set_up();
        run(commands::SignIn{});
        run(commands::StartShift{});
        run(commands::ProveGauge{"CAL-1", "RING-25"});
        station.press("25.00");
        add("Fennick Harvesters (invented)", "FENORDER-ONE", "FENLOT-ONE");
        add("Fennick Harvesters (invented)", "FENORDER-TWO", "FENLOT-TWO");
        add("Brackwater Cranes (invented)", "BRAORDER-SIX", "BRALOT-SIX");
    }

    ApiReply must(const Result<ApiReply>& reply) {
        if (!reply) FAIL(reply.error().code);
        return *reply;
    }
    void run(const Command& command, const std::string& who = "OPA") {
        if (const auto code = station.run(command, who); !code.empty()) FAIL(code);
    }

    void add(const std::string& customer, const std::string& order, const std::string& lot) {
        using namespace commands;
        auto opened = bench_order(order);
        opened.customer = customer;
        opened.customer_part = order + "-PART";
        opened.hose_lots = {{lot + "-H", "2Q26"}};
        opened.fitting_a_lots = {{lot + "-FA", ""}};
        opened.fitting_b_lots = {{lot + "-FB", ""}};
        run(OpenOrder{opened}, "SET");
        run(TakeOrder{order});
        run(ConfirmLots{lot + "-H", lot + "-FA", lot + "-FB"});
        const auto row = bench_row();
        if (made.empty()) run(ConfirmDie{row.die_set, row.crimper, row.setting});
        for (std::size_t i = 0; i < row.flats.size(); ++i)
            station.press("25.50");
        for (int end = 0; end < 2; ++end) {
            station.press("38.20");
            run(Confirm{Characteristic::lubricant, true, {}});
            run(Confirm{Characteristic::mark_before, {}, MarkSeen::at_edge});
            for (std::size_t i = 0; i < row.flats.size(); ++i)
                station.press("25.50");
            run(Confirm{Characteristic::mark_after, {}, MarkSeen::at_edge});
            run(Confirm{Characteristic::bore_pin, true, {}});
        }
        Made one{customer, order, {}, {}, {}, {lot + "-H", lot + "-FA", lot + "-FB"}};
        for (const auto& entry : station.entries())
            if (entry.type == "assembly.passed") one.serial = std::string(entry.body.at("serial").as_string());
        REQUIRE_FALSE(one.serial.empty());
        one.delivery = "DL-" + std::to_string(made.size() + 41);
        entries::DeliverySent sent;
        sent.delivery = one.delivery;
        sent.customer = customer;
        sent.date = "2026-11-25";
        sent.to = order + "-GATE";
        sent.note_number = order + "-NOTE";
        sent.serials = {one.serial};
        station.note(sent);
        auto lead = station.client("LEA", false);
        const auto issued = must(lead.post("/api/certificates", {{"subject", "serial"},
                                                                 {"id", one.serial},
                                                                 {"statement", "declaration"},
                                                                 {"function", "QC lead"},
                                                                 {"independent", false}}));
        INFO(issued.text);
        REQUIRE(issued.status == 200);
        one.certificate = std::string(issued.json.at("certificate").as_string());
        made.push_back(std::move(one));
    }

    Link link(const std::string& customer, const std::string& delivery = "", const std::string& until = "") {
        auto lead = station.client("LEA", false);
        boost::json::object body{{"customer", customer}};
        if (!delivery.empty()) body["delivery"] = delivery;
        if (!until.empty()) body["valid_until"] = until;
        const auto answer = must(lead.post("/api/links", body));
        INFO(answer.text);
        REQUIRE(answer.status == 200);
        return {std::string(answer.json.at("link").as_string()), std::string(answer.json.at("token").as_string())};
    }

    // As a customer asks, without a session; the clocks go on by `after_ms` first, so that no limit is in the way.
    ApiReply look(const std::string& token, const std::string& rest, std::int64_t after_ms = 7'000) {
        station.clock.pass_ms(after_ms);
        auto anybody = station.client();
        return must(anybody.get("/t/" + token + rest));
    }

    // The path of a route with its subject filled in.
    static std::string path(const CustomerRoute& route, const Made& of) {
        std::string out(route.path);
        if (const auto hole = out.find('{'); hole != std::string::npos)
            out = out.substr(0, hole) + of.subject(route.about);
        return out;
    }

    ApiStation station;
    std::vector<Made> made;
};

}  // namespace crimpgate::test
