#include "tools/cli/record_source.h"

#include <algorithm>
#include <filesystem>
#include <optional>

#include <boost/json.hpp>

#include "station/http/record_json.h"
#include "station/journal/checkpoints.h"
#include "station/proof/consistency.h"
#include "tools/cli/address.h"
#include "tools/cli/files.h"
#include "tools/cli/pin.h"
#include "tools/client/api_client.h"

namespace crimpgate::cli {

namespace {

namespace json = boost::json;

class FromJournal : public RecordSource {
  public:
    explicit FromJournal(Journal journal) : journal_(std::move(journal)) {}

    Result<json::array> checkpoints(std::int64_t limit) override {
        const auto found = crimpgate::checkpoints(journal_, limit);
        if (!found) return refuse(found.error());
        const auto known = witnesses(journal_);
        if (!known) return refuse(known.error());
        json::array out;
        for (const auto& one : *found)
            out.push_back(checkpoint_json(one, *known));
        return out;
    }
    Result<std::string> note(std::int64_t size) override {
        const auto found = checkpoint_of_size(journal_, size);
        if (!found) return refuse(found.error());
        if (!*found) return refuse(message("checkpoint.none").with("size", std::to_string(size)));
        return (*found)->whole_note();
    }
    Result<std::string> consistency(std::int64_t from, std::int64_t to) override {
        if (from < 1 || to < from)
            return refuse(
                message("consistency.bad_sizes").with("from", std::to_string(from)).with("to", std::to_string(to)));
        auto hashes = journal_.consistency(from, to);
        if (!hashes) return refuse(std::move(hashes.error()));
        return write_consistency({from, to, std::move(*hashes)});
    }
    Result<json::object> keys() override { return keys_json(journal_); }
    Result<json::object> sign() override { return refuse(message("cli.needs_station")); }
    Result<json::object> bring(std::int64_t, const std::string&) override {
        return refuse(message("cli.needs_station"));
    }
    Result<void> know_witness(const VerifierKey&, const std::string&) override {
        return refuse(message("cli.needs_station"));
    }
    Result<void> forget_witness(const VerifierKey&, const std::string&) override {
        return refuse(message("cli.needs_station"));
    }
    Result<std::optional<Hash>> root(std::int64_t size) override {
        const auto entries = journal_.last_seq();
        if (!entries) return refuse(entries.error());
        if (size > *entries) return std::optional<Hash>();
        auto root = journal_.root(size);
        if (!root) return refuse(std::move(root.error()));
        return std::optional<Hash>(*root);
    }

  private:
    Journal journal_;
};

Message refusal_in(const ApiReply& reply) {
    if (reply.code().empty()) return message("cli.strange_answer").with("status", std::to_string(reply.status));
    Message why{reply.code(), {}};
    if (const auto* details = reply.json.if_contains("details"); details != nullptr && details->is_object())
        for (const auto& [name, text] : details->get_object())
            if (text.is_string()) why.with(std::string_view(name), std::string_view(text.get_string()));
    return why;
}

class FromStation : public RecordSource {
  public:
    explicit FromStation(ApiClient client) : client_(std::move(client)) {}
    ~FromStation() override { (void)client_.post("/api/sign-out"); }

    Result<json::array> checkpoints(std::int64_t limit) override {
        const auto reply = answer(client_.get("/api/checkpoints?limit=" + std::to_string(limit)));
        if (!reply) return refuse(reply.error());
        return reply->json.at("checkpoints").as_array();
    }
    Result<std::string> note(std::int64_t size) override {
        const auto reply = answer(client_.get("/api/checkpoints/" + std::to_string(size)));
        if (!reply) return refuse(reply.error());
        return reply->text;
    }
    Result<std::string> consistency(std::int64_t from, std::int64_t to) override {
        const auto reply =
            answer(client_.get("/api/consistency?from=" + std::to_string(from) + "&to=" + std::to_string(to)));
        if (!reply) return refuse(reply.error());
        return reply->text;
    }
    Result<json::object> keys() override { return whole(client_.get("/api/keys")); }
    Result<json::object> sign() override { return whole(client_.post("/api/checkpoints")); }
    Result<json::object> bring(std::int64_t size, const std::string& line) override {
        json::object body{{"line", line}};
        if (size > 0) body["size"] = size;
        return whole(client_.post("/api/checkpoints/countersignature", body));
    }
    Result<void> know_witness(const VerifierKey& key, const std::string& holder) override {
        return done(client_.post("/api/witnesses", {{"key", key.text()}, {"holder", holder}}));
    }
    Result<void> forget_witness(const VerifierKey& key, const std::string& reason) override {
        return done(client_.post("/api/witnesses/forget", {{"key", key.text()}, {"reason", reason}}));
    }
    Result<std::optional<Hash>> root(std::int64_t) override { return std::optional<Hash>(); }

  private:
    static Result<ApiReply> answer(Result<ApiReply> reply) {
        if (reply && !reply->ok()) return refuse(refusal_in(*reply));
        return reply;
    }
    static Result<json::object> whole(Result<ApiReply> reply) {
        reply = answer(std::move(reply));
        if (!reply) return refuse(reply.error());
        return reply->json;
    }

    static Result<void> done(Result<ApiReply> reply) {
        reply = answer(std::move(reply));
        if (!reply) return refuse(reply.error());
        return {};
    }

    ApiClient client_;
};

Result<std::unique_ptr<RecordSource>> from_station(const CommandLine& line, bool& wrong) {
    const auto address = station_address(line);
    if (!address) return refuse(address.error());
    if (line.value("--person").empty()) return refuse(message("cli.who_asks"));
    wrong = false;
    const auto person = line.value("--person");
    const auto secret = line.has("--pin-file") ? pin_from_file(line.value("--pin-file")) : pin_from_terminal(person);
    if (!secret) return refuse(secret.error());
    ApiClient client(address->first, address->second);
    const auto in = client.sign_in(person, *secret, false);
    if (!in) return refuse(in.error());
    if (!in->ok()) return refuse(refusal_in(*in));
    return std::make_unique<FromStation>(std::move(client));
}

}  // namespace

Result<std::unique_ptr<RecordSource>> open_record(const CommandLine& line, bool& wrong) {
    wrong = true;
    if (line.has("--journal") == line.has("--station")) return refuse(message("cli.which_source"));
    if (line.has("--station")) return from_station(line, wrong);
    for (const std::string_view option : {"--person", "--pin-file"})
        if (line.has(option)) return refuse(message("cli.only_with_station").with("option", option));
    wrong = false;
    const auto file = line.value("--journal");
    std::error_code why;
    if (!std::filesystem::is_regular_file(file, why))
        return refuse(message("cli.no_file").with("file", file).with("reason", why ? why.message() : "no plain file"));
    JournalOptions options;
    options.access = JournalAccess::read;
    auto journal = Journal::open(file, options);
    if (!journal) return refuse(journal.error());
    return std::make_unique<FromJournal>(std::move(*journal));
}

std::vector<std::string> hand_overs_in(const json::object& keys) {
    std::vector<std::string> out;
    const auto& list = keys.at("keys").as_array();
    for (auto one = list.rbegin(); one != list.rend(); ++one)
        if (const auto& note = one->at("statement").as_string(); !note.empty()) out.emplace_back(note);
    return out;
}

std::vector<std::string> hand_overs_in(const std::string& text) {
    constexpr std::string_view head = "crimpgate-key/1 ";
    std::vector<std::string> out;
    for (std::size_t from = 0; from < text.size();) {
        const auto end = std::min(text.find('\n', from), text.size() - 1) + 1;
        const auto line = text.substr(from, end - from);
        if (line.starts_with(head) || out.empty()) out.emplace_back();
        out.back() += line;
        from = end;
    }
    return out;
}

Result<VerifierKey> key_of(std::string text) {
    while (!text.empty() && (text.back() == '\n' || text.back() == '\r' || text.back() == ' '))
        text.pop_back();
    // As the record's entries write a tag key: right, but without the name that a key id is made of.
    if (const auto bytes = from_base64(text); bytes && bytes->size() == 32) return refuse(message("key.plain"));
    return parse_verifier_key(text);
}

Result<std::optional<VerifierKey>> shop_key(const CommandLine& line) {
    if (line.has("--key") && line.has("--key-file")) return refuse(message("verify.two_keys"));
    if (!line.has("--key") && !line.has("--key-file")) return std::optional<VerifierKey>();
    std::string text = line.value("--key");
    if (line.has("--key-file")) {
        auto file = read_file(line.value("--key-file"));
        if (!file) return refuse(std::move(file.error()));
        text = std::move(*file);
    }
    auto key = key_of(std::move(text));
    if (!key) return refuse(std::move(key.error()));
    if (key->type != KeyType::ed25519) return refuse(message("verify.witness_as_key").with("name", key->name));
    return std::optional<VerifierKey>(std::move(*key));
}

}  // namespace crimpgate::cli
