#include "station/daemon/kept_state.h"

#include <fstream>
#include <iterator>
#include <stdexcept>

#include <sodium.h>
#include <boost/json/parse.hpp>
#include <boost/json/serialize.hpp>

#include "station/bench/state_json.h"
#include "station/entries/entry_json.h"
#include "station/journal/one_assembly.h"

namespace crimpgate {
namespace {

namespace json = boost::json;

constexpr std::int64_t batch = 1000;

std::string sha256_hex(std::string_view text) {
    Hash hash{};
    crypto_hash_sha256(hash.data(), reinterpret_cast<const unsigned char*>(text.data()), text.size());
    return to_hex(hash);
}

Result<void> apply_entry(BenchState& state, const Entry& entry) {
    auto body = entry_body(entry.type, entry.body);
    if (!body) return refuse(std::move(body.error()).with("seq", std::to_string(entry.seq)));
    apply(state, {entry.seq, entry.stamp.utc_ms, entry.who}, *body);
    return {};
}

template <class T>
T or_throw(Result<T> result) {
    if (!result) throw std::runtime_error("an assembly cannot be recalled: " + result.error().code);
    return std::move(*result);
}

std::optional<AssemblyState> recalled(const Journal& journal, const std::string& serial, std::int64_t upto_seq) {
    const auto entries = or_throw(entries_of(journal, serial, upto_seq));
    if (entries.empty()) return std::nullopt;
    BenchState alone;
    for (const auto& entry : entries)
        if (const auto applied = apply_entry(alone, entry); !applied)
            throw std::runtime_error("an assembly cannot be recalled: " + applied.error().code);
    auto* assembly = alone.assemblies.in_memory(serial);
    if (assembly == nullptr) throw std::runtime_error("an assembly cannot be recalled: it was never started");
    assembly->number = or_throw(place_in_order(journal, assembly->started.order, assembly->started_seq));
    return std::move(*assembly);
}

Result<BenchState> fold_on(const Journal& journal, BenchState state) {
    for (;;) {
        auto entries = journal.entries_from(state.last_seq + 1, batch);
        if (!entries) return refuse(std::move(entries.error()));
        for (const auto& entry : *entries)
            if (auto applied = apply_entry(state, entry); !applied) return refuse(std::move(applied.error()));
        if (static_cast<std::int64_t>(entries->size()) < batch) return state;
    }
}

}  // namespace

std::filesystem::path kept_state_file(const Journal& journal) {
    auto file = journal.file();
    file += ".state";
    return file;
}

Result<void> keep_state(const Journal& journal, const BenchState& state) {
    const auto file = kept_state_file(journal);
    const auto failed = [&](std::string_view why) {
        return refuse(message("state.not_kept").with("file", file.string()).with("why", why));
    };
    const auto last = journal.last_seq();
    if (!last) return refuse(last.error());
    if (*last < state.last_seq) return failed("the journal does not reach as far as the state does");
    const auto root = journal.root(state.last_seq);
    if (!root) return refuse(root.error());
    const std::string text = json::serialize(state_json(state));
    json::object head{
        {"program", state_program()}, {"root", to_hex(*root)}, {"seq", state.last_seq}, {"sha256", sha256_hex(text)}};
    auto fresh = file;
    fresh += ".new";
    {
        // PIN hashes are in there.
        std::ofstream out(fresh, std::ios::binary | std::ios::trunc);
        std::error_code failed_to_set;
        std::filesystem::permissions(fresh, std::filesystem::perms::owner_read | std::filesystem::perms::owner_write,
                                     failed_to_set);
        out << json::serialize(head) << '\n' << text << '\n';
        if (!out.flush() || failed_to_set) return failed("it cannot be written");
    }
    std::error_code failed_to_move;
    std::filesystem::rename(fresh, file, failed_to_move);
    if (failed_to_move) return failed(failed_to_move.message());
    return {};
}

Result<BenchState> kept_state(const Journal& journal) {
    const auto file = kept_state_file(journal);
    const auto unusable = [&](std::string_view why) {
        return refuse(message("state.not_usable").with("file", file.string()).with("why", why));
    };
    std::ifstream in(file, std::ios::binary);
    std::string head_text;
    if (!in || !std::getline(in, head_text)) return unusable("there is none");
    const std::string text{std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
    boost::system::error_code bad;
    const auto head = json::parse(head_text, bad);
    if (bad || !head.is_object()) return unusable("its head cannot be read");
    const auto member = [&](std::string_view name) {
        const auto* found = head.get_object().if_contains(name);
        return found != nullptr && found->is_string() ? std::string(found->get_string()) : std::string();
    };
    if (member("program") != state_program()) return unusable("another version of the program wrote it");
    if (text.empty() || text.back() != '\n' ||
        member("sha256") != sha256_hex(std::string_view(text).substr(0, text.size() - 1)))
        return unusable("it is damaged");
    const auto* seq = head.get_object().if_contains("seq");
    if (seq == nullptr || !seq->is_int64()) return unusable("its head cannot be read");
    const auto last = journal.last_seq();
    if (!last) return refuse(last.error());
    if (seq->get_int64() < 1 || seq->get_int64() > *last) return unusable("it is of another journal");
    const auto root = journal.root(seq->get_int64());
    if (!root) return refuse(root.error());
    if (to_hex(*root) != member("root")) return unusable("it is of another journal");
    const auto parsed = json::parse(text, bad);
    if (bad || !parsed.is_object()) return unusable("it is damaged");
    auto state = state_of_json(parsed.get_object());
    if (!state) return unusable(state.error().code);
    if (state->last_seq != seq->get_int64()) return unusable("it is damaged");
    return state;
}

void recall_from(const Journal& journal, Assemblies& assemblies) {
    assemblies.recall_with(
        [&journal](const std::string& serial, std::int64_t upto_seq) { return recalled(journal, serial, upto_seq); },
        [&journal](const std::string& shift, std::int64_t upto_seq) {
            return or_throw(serials_of_shift(journal, shift, upto_seq));
        });
}

Result<BenchState> folded(const Journal& journal, bool use_kept) {
    BenchState state;
    if (use_kept)
        if (auto kept = kept_state(journal)) state = std::move(*kept);
    recall_from(journal, state.assemblies);
    return fold_on(journal, std::move(state));
}

}  // namespace crimpgate
