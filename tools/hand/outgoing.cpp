#include "tools/hand/outgoing.h"

#include <boost/json.hpp>
#include <filesystem>
#include <fstream>
#include <iterator>

#include "tools/client/api_client.h"

namespace crimpgate {
namespace {

namespace json = boost::json;
namespace fs = std::filesystem;

Result<json::object> good(const Result<ApiReply>& reply) {
    if (!reply) return refuse(reply.error());
    if (reply->ok()) return reply->json;
    return refuse(message("hand.refused").with("code", reply->code()).with("words", reply->words()));
}

std::string encoded(std::string_view text) {
    static constexpr char digits[] = "0123456789ABCDEF";
    std::string out;
    for (const char c : text) {
        const auto byte = static_cast<unsigned char>(c);
        if ((c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z')) {
            out += c;
            continue;
        }
        out += '%';
        out += digits[byte >> 4];
        out += digits[byte & 15];
    }
    return out;
}

struct Sent {
    std::string delivery;
    std::int64_t count = 0;
};

Result<Sent> send(ApiClient& lead, const std::string& customer, const std::string& note, const std::string& to) {
    const auto may_go = good(lead.get("/api/sendable?customer=" + encoded(customer)));
    if (!may_go) return refuse(may_go.error());
    json::array serials;
    for (const auto& one : may_go->at("assemblies").as_array())
        serials.push_back(one.at("serial"));
    Sent sent;
    sent.count = static_cast<std::int64_t>(serials.size());
    const auto gone =
        good(lead.post("/api/deliveries",
                       {{"customer", customer}, {"note_number", note}, {"to", to}, {"serials", std::move(serials)}}));
    if (!gone) return refuse(gone.error());
    const auto list = good(lead.get("/api/deliveries?limit=1"));
    if (!list) return refuse(list.error());
    sent.delivery = json::value_to<std::string>(list->at("deliveries").at(0).at("delivery"));
    return sent;
}

Result<void> keep(const fs::path& file, const std::string& bytes) {
    std::ofstream out(file, std::ios::binary | std::ios::trunc);
    out << bytes;
    out.close();
    if (!out) return refuse(message("hand.no_file").with("file", file.string()));
    return {};
}

}  // namespace

Result<void> work_tested_order(const ShopPlaces& places, SimulatedCaliper& caliper, std::uint16_t port,
                               const HandSettings& settings) {
    const std::string path = places.source + "/specs/examples/demo_order_tested.csv";
    std::ifstream file(path, std::ios::binary);
    if (!file) return refuse(message("hand.no_file").with("file", path));
    const std::string csv(std::istreambuf_iterator<char>(file), {});
    ApiClient office("127.0.0.1", port);
    if (auto in = good(office.sign_in(settings.crew.setter_id, settings.crew.setter_pin)); !in)
        return refuse(in.error());
    if (auto opened = good(office.post("/api/orders", {{"csv", csv}})); !opened) return refuse(opened.error());
    HandSettings second = settings;
    second.order = "WO-2043";
    second.parts_before = 100;
    Hand hand(second, caliper);
    hand.open(port);
    for (;;) {
        const auto turn = hand.turn();
        if (!turn) return refuse(turn.error());
        if (*turn == Hand::Turn::finished) return {};
    }
}

Result<SentOut> send_out(const ShopPlaces& places, std::uint16_t port, const HandSettings& settings) {
    ApiClient lead("127.0.0.1", port);
    if (auto in = good(lead.sign_in(settings.crew.lead_id, settings.crew.lead_pin)); !in) return refuse(in.error());
    SentOut out;
    const auto first = send(lead, first_customer, "LS-3310", "Fennick Harvesters, dock 2 (invented)");
    if (!first) return refuse(first.error());
    const auto second = send(lead, second_customer, "LS-3311", "Tarnwick Forestry, yard (invented)");
    if (!second) return refuse(second.error());
    out.first = first->count;
    out.second = second->count;
    out.delivery = first->delivery;

    const auto issued = good(lead.post("/api/certificates", {{"subject", "delivery"},
                                                             {"id", out.delivery},
                                                             {"statement", "declaration"},
                                                             {"function", "QC lead"},
                                                             {"independent", false}}));
    if (!issued) return refuse(issued.error());
    out.certificate = json::value_to<std::string>(issued->at("certificate"));
    const auto made = good(lead.post("/api/links", {{"customer", first_customer}, {"delivery", out.delivery}}));
    if (!made) return refuse(made.error());
    out.link = json::value_to<std::string>(made->at("address"));
    const auto keys = good(lead.get("/api/keys"));
    if (!keys) return refuse(keys.error());
    const auto& key = keys->at("keys").at(0);
    const auto key_text = json::value_to<std::string>(key.at("key"));
    const auto tag_key_text = json::value_to<std::string>(key.at("tag_key"));

    const fs::path folder = fs::path(places.folder) / "outgoing";
    std::error_code unimportant;  // what cannot be made is told with the file
    fs::create_directories(folder, unimportant);
    const auto paper = lead.get("/api/certificates/" + out.certificate + ".pdf");
    if (auto fine = good(paper); !fine) return refuse(fine.error());
    if (auto kept = keep(folder / (out.certificate + ".pdf"), paper->text); !kept) return refuse(kept.error());
    for (const auto& [name, text] :
         {std::pair("link.txt", out.link), {"key.txt", key_text}, {"tag-key.txt", tag_key_text}})
        if (auto kept = keep(folder / name, text + "\n"); !kept) return refuse(kept.error());
    return out;
}

}  // namespace crimpgate
