// checkpoint list, show, sign, proof and bring: the record's signed heads, from a journal or a station; witness and
// forget-witness: who may countersign them.
#include <charconv>
#include <cstdio>
#include <optional>

#include <fmt/format.h>
#include <boost/json.hpp>

#include "specs/shown_text.h"
#include "tools/cli/commands.h"
#include "tools/cli/files.h"
#include "tools/cli/opened.h"
#include "tools/cli/record_source.h"
#include "tools/cli/text_table.h"

namespace crimpgate::cli {

namespace {

namespace json = boost::json;

// A number of entries as a word; 0 for "latest".
Result<std::int64_t> size_of(const std::string& word) {
    if (word == "latest") return 0;
    std::int64_t size = 0;
    const auto [end, ec] = std::from_chars(word.data(), word.data() + word.size(), size);
    if (ec != std::errc{} || end != word.data() + word.size() || size < 1)
        return refuse(message("cli.bad_size").with("found", shown_text(word)));
    return size;
}

// The newest checkpoint's size for 0.
Result<std::int64_t> resolved(RecordSource& source, std::int64_t size) {
    if (size > 0) return size;
    const auto list = source.checkpoints(1);
    if (!list) return refuse(list.error());
    if (list->empty()) return refuse(message("cli.no_checkpoint"));
    return number_in(list->front().as_object(), "size");
}

std::string countersigners(const json::object& checkpoint) {
    std::string out;
    for (const auto& one : checkpoint.at("countersignatures").as_array())
        out += (out.empty() ? "" : ", ") + text_in(one.as_object(), "name") + " " +
               short_time(text_in(one.as_object(), "signed"));
    return out;
}

// The key of --key, and what the other option says; both must be given. Told and empty where one is not.
std::optional<VerifierKey> witness_key_and(const CommandLine& line, const char* option) {
    for (const char* must : {"--key", option})
        if (line.value(must).empty()) {
            fail(Exit::wrong_use, message("bench.field_empty").with("field", must + 2));
            return std::nullopt;
        }
    const auto key = key_of(line.value("--key"));
    if (!key) fail(Exit::wrong_use, key.error());
    return key ? std::optional(*key) : std::nullopt;
}

}  // namespace

int checkpoint_list(const CommandLine& line) {
    const auto asked = opened_record(line);
    if (!asked.source) return asked.how;
    const auto count = number_in(line, "--count", 50, 1, 10'000);
    if (!count) return fail(Exit::wrong_use, count.error());
    auto list = asked.source->checkpoints(*count);
    if (!list) return fail_with(list.error());
    if (line.has("--json")) {
        print_json({{"checkpoints", std::move(*list)}});
        return Exit::fine;
    }
    TextTable table({"entries", "signed (UTC)", "because of", "by", "countersigned (UTC)"});
    for (const auto& value : *list) {
        const auto& c = value.as_object();
        table.add({std::to_string(number_in(c, "size")), short_time(text_in(c, "time")), text_in(c, "cause"),
                   shown_text(text_in(c, "who")), countersigners(c)});
    }
    print(table.empty() ? "No checkpoint was signed yet.\n" : table.text());
    return Exit::fine;
}

int checkpoint_show(const CommandLine& line) {
    const auto size = size_of(line.words.front());
    if (!size) return fail(Exit::wrong_use, size.error());
    const auto asked = opened_record(line);
    if (!asked.source) return asked.how;
    const auto of = resolved(*asked.source, *size);
    if (!of) return fail_with(of.error());
    const auto note = asked.source->note(*of);
    if (!note) return fail_with(note.error());
    print(*note);
    return Exit::fine;
}

int checkpoint_sign(const CommandLine& line) {
    const auto asked = opened_record(line);
    if (!asked.source) return asked.how;
    const auto made = asked.source->sign();
    if (!made) return fail_with(made.error());
    // Signed all the same; a folder that was not reached is for whoever looks after the machine.
    for (const auto& why : made->at("unwritten").as_array())
        std::fprintf(stderr, "crimpgate: %s\n", text_in(why.as_object(), "words").c_str());
    print(std::string(made->at("checkpoint").at("note").as_string()));
    return Exit::fine;
}

int checkpoint_proof(const CommandLine& line) {
    const auto from = size_of(line.words[0]);
    if (!from) return fail(Exit::wrong_use, from.error());
    const auto to = size_of(line.words[1]);
    if (!to) return fail(Exit::wrong_use, to.error());
    const auto asked = opened_record(line);
    if (!asked.source) return asked.how;
    const auto last = resolved(*asked.source, *to);
    if (!last) return fail_with(last.error());
    const auto proof = asked.source->consistency(*from, *last);
    if (!proof) return fail_with(proof.error());
    print(*proof);
    return Exit::fine;
}

int checkpoint_bring(const CommandLine& line) {
    const auto size = number_in(line, "--size", 0, 1, 9'007'199'254'740'991);
    if (!size) return fail(Exit::wrong_use, size.error());
    const auto text = read_file(line.words.front());
    if (!text) return fail(Exit::cannot, text.error());
    const auto asked = opened_record(line);
    if (!asked.source) return asked.how;
    const auto brought = asked.source->bring(*size, *text);
    if (!brought) return fail_with(brought.error());
    std::string names;
    for (const auto& name : brought->at("witnesses").as_array())
        names += (names.empty() ? "" : ", ") + std::string(name.as_string());
    print(fmt::format("In the record: the checkpoint of {} entries is countersigned by {}.\n",
                      number_in(*brought, "size"), shown_text(names)));
    return Exit::fine;
}

int checkpoint_witness(const CommandLine& line) {
    const auto key = witness_key_and(line, "--holder");
    if (!key) return Exit::wrong_use;
    const auto asked = opened_record(line);
    if (!asked.source) return asked.how;
    if (const auto done = asked.source->know_witness(*key, line.value("--holder")); !done)
        return fail_with(done.error());
    print(fmt::format("In the record: {} countersigns with the key {}.\n", shown_text(line.value("--holder")),
                      key->text()));
    return Exit::fine;
}

int checkpoint_forget_witness(const CommandLine& line) {
    const auto key = witness_key_and(line, "--reason");
    if (!key) return Exit::wrong_use;
    const auto asked = opened_record(line);
    if (!asked.source) return asked.how;
    if (const auto done = asked.source->forget_witness(*key, line.value("--reason")); !done)
        return fail_with(done.error());
    print("In the record: what this key signs from now on is not taken any more. What it signed stands.\n");
    return Exit::fine;
}

}  // namespace crimpgate::cli
