// Checkpoints, witnesses and the station's key over HTTP. Signatures are made and checked in station/daemon; who may
// ask for a hand-over or enter a witness, the bench says.
#include <boost/json.hpp>

#include "reports/recovery_page.h"
#include "station/daemon/countersignatures.h"
#include "station/daemon/local_time.h"
#include "station/http/api.h"
#include "station/http/body_members.h"
#include "station/http/describe_checkpoints.h"
#include "station/http/describe_commands.h"
#include "station/http/page_words.h"
#include "station/http/record_json.h"
#include "station/json/reflect.h"
#include "station/json/utc_text.h"
#include "station/proof/consistency.h"
#include "station/proof/recovery_text.h"
#include "station/proof/text_lines.h"
#include "station/words/catalogue.h"

namespace crimpgate {
namespace {

namespace json = boost::json;

HttpResponse seal_refused(const Message& why) {
    const std::string_view code = why.code;
    if (code == "journal.no_such_tree" || code == "checkpoint.none" || code == "countersignature.no_checkpoint")
        return error_response(404, why);
    if (code == "record.recovery_only_here") return error_response(403, why);
    if (code == "note.malformed" || code == "checkpoint.malformed" || code == "key.malformed" ||
        code == "countersignature.size_needed" || code == "consistency.bad_sizes" || code == "witness.not_a_witness")
        return error_response(400, why);
    if (code.starts_with("record.key_") && code != "record.key_meanwhile") return error_response(500, why);
    return refusal_of(why);
}

HttpResponse as_text(std::string text) {
    HttpResponse response;
    response.content_type = "text/plain; charset=utf-8";
    response.body = std::move(text);
    return response;
}

json::object told(const Message& m) {
    auto out = reflect::write(m).as_object();
    out["words"] = say(m);
    return out;
}

json::object shown(const KeptCheckpoint& one, const BenchState& state) {
    std::vector<KnownWitness> witnesses;
    for (const auto& [key, holder] : state.record.witnesses)
        witnesses.push_back({key, holder});
    auto out = checkpoint_json(one, witnesses);
    if (const auto person = state.people.find(one.who); person != state.people.end())
        out["who_name"] = person->second.name;
    return out;
}

HttpAnswer checkpoints_list(ApiCall& call) {
    const auto limit = call.number("limit", 50, 10'000);
    if (!limit) return refusal_of(limit.error());
    const auto found = checkpoints(call.api.journal(), *limit);
    if (!found) return refusal_of(found.error());
    json::array list;
    for (const auto& one : *found)
        list.push_back(shown(one, call.api.desk().state()));
    return ok({{"checkpoints", std::move(list)}});
}

HttpAnswer checkpoint_note(ApiCall& call) {
    const auto size = strict_number(call.value);
    const auto found = size ? checkpoint_of_size(call.api.journal(), *size)
                            : Result<std::optional<KeptCheckpoint>>(std::optional<KeptCheckpoint>());
    if (!found) return refusal_of(found.error());
    if (!*found) return seal_refused(message("checkpoint.none").with("size", call.value));
    return as_text((*found)->whole_note());
}

HttpAnswer consistency(ApiCall& call) {
    constexpr std::int64_t most = 9'007'199'254'740'991;
    const auto from = call.number("from", 0, most);
    if (!from) return refusal_of(from.error());
    const auto to = call.number("to", 0, most);
    if (!to) return refusal_of(to.error());
    if (*from < 1 || *to < *from)
        return seal_refused(
            message("consistency.bad_sizes").with("from", std::to_string(*from)).with("to", std::to_string(*to)));
    auto hashes = call.api.journal().consistency(*from, *to);
    if (!hashes) return seal_refused(hashes.error());
    return as_text(write_consistency({*from, *to, std::move(*hashes)}));
}

HttpAnswer sign_now(ApiCall& call) {
    const auto& parts = call.api.parts().checkpoints;
    if (!parts.sign) return refusal_of(message("evidence.no_key"));
    const auto before = call.api.desk().state().record.checkpoint_seq;
    const auto made = parts.sign("asked", call.who);
    if (!made) return seal_refused(made.error());
    json::array unwritten;
    if (parts.unwritten)
        for (const auto& why : parts.unwritten())
            unwritten.push_back(told(why));
    return ok({{"checkpoint", shown(*made, call.api.desk().state())},
               {"fresh", made->seq != before},
               {"unwritten", std::move(unwritten)}});
}

HttpAnswer bring_countersignature(ApiCall& call) {
    const auto read = reflect::from_json<api::CountersignatureBody>(call.body);
    if (!read) return error_response(400, read.error());
    const auto found = countersignatures_in(call.api.journal(), read->line, read->size);
    if (!found) return seal_refused(found.error());
    json::array names;
    for (const auto& one : *found) {
        const commands::BringCountersignature command{one};
        if (const auto ran = call.api.desk().run(command, call.who); ran.refusal) return seal_refused(*ran.refusal);
        names.push_back(json::string(name_in_key(one.key)));
    }
    return ok({{"size", found->front().size}, {"witnesses", std::move(names)}});
}

HttpAnswer know_witness(ApiCall& call) {
    const auto read = reflect::from_json<api::WitnessBody>(call.body);
    if (!read) return error_response(400, read.error());
    if (auto fine = call.api.check_texts(call.body, ""); !fine) return error_response(400, fine.error());
    const auto key = parse_verifier_key(read->key);
    if (!key) return seal_refused(key.error());
    if (key->type != KeyType::cosignature)
        return seal_refused(message("witness.not_a_witness").with("name", key->name));
    const commands::KnowWitness command{key->text(), read->holder};
    const auto ran = call.api.desk().run(command, call.who);
    return ran.refusal ? seal_refused(*ran.refusal) : answer_of(ran);
}

HttpAnswer forget_witness(ApiCall& call) {
    const auto read = reflect::from_json<api::ForgetWitnessBody>(call.body);
    if (!read) return error_response(400, read.error());
    if (auto fine = call.api.check_texts(call.body, ""); !fine) return error_response(400, fine.error());
    const commands::ForgetWitness command{read->key, read->reason};
    const auto ran = call.api.desk().run(command, call.who);
    return ran.refusal ? seal_refused(*ran.refusal) : answer_of(ran);
}

// Everything that is public about the keys, and how far the record is under them.
HttpAnswer keys_shown(ApiCall& call) {
    const auto& journal = call.api.journal();
    const auto& record = call.api.desk().state().record;
    auto out = keys_json(journal);
    if (!out) return refusal_of(out.error());
    const auto entries = journal.last_seq();
    if (!entries) return refusal_of(entries.error());
    const auto to_sign = last_seq_to_sign(journal);
    if (!to_sign) return refusal_of(to_sign.error());
    (*out)["recovery_printed"] = record.recovery_printed;
    (*out)["entries"] = *entries;
    (*out)["signed_size"] = record.checkpoint_size;
    (*out)["signed_time"] = record.checkpoint_seq > 0 ? utc_text(record.checkpoint_utc_ms) : "";
    (*out)["countersigned_size"] = record.countersigned_size;
    (*out)["unsigned"] = *to_sign > record.checkpoint_size;
    return ok(*out);
}

HttpAnswer hand_over_key(ApiCall& call) {
    const auto read = reflect::from_json<api::HandOverBody>(call.body);
    if (!read) return error_response(400, read.error());
    if (auto fine = call.api.check_texts(call.body, ""); !fine) return error_response(400, fine.error());
    const auto& parts = call.api.parts().checkpoints;
    if (!parts.hand_over || !parts.sign) return refusal_of(message("evidence.no_key"));
    // Before a secret is made for nothing; the bench is asked all the same.
    if (read->reason.empty()) return error_response(400, message("bench.field_empty").with("field", "reason"));
    const auto changed = parts.hand_over(read->reason, call.who);
    if (changed.refusal) return seal_refused(*changed.refusal);
    json::object body{{"key", call.api.desk().state().record.key.key}};
    json::array warnings;
    if (changed.unsettled) warnings.push_back(told(*changed.unsettled));
    if (const auto made = parts.sign("key", call.who))
        body["checkpoint"] = shown(*made, call.api.desk().state());
    else
        warnings.push_back(told(made.error()));
    body["warnings"] = std::move(warnings);
    return ok(body);
}

// Never over the network: what the page bears is the secret itself.
HttpAnswer recovery_page(ApiCall& call) {
    const auto read = reflect::from_json<api::RecoveryBody>(call.body);
    if (!read) return error_response(400, read.error());
    if (!call.request.from_here) return seal_refused(message("record.recovery_only_here"));
    const auto& parts = call.api.parts().checkpoints;
    if (!parts.seed) return refusal_of(message("evidence.no_key"));
    const auto& desk = call.api.desk();
    RecoveryPage page;
    page.size = read->paper.value_or(PaperSize::a4);
    page.language = reflect::enum_name(read->language.value_or(api::CertificateLanguage::en));
    page.say = [language = page.language](const Message& m) { return say_in(language, m); };
    page.shop = call.api.parts().shop;
    page.station = call.api.journal().station();
    page.date = local_date(desk.now().utc_ms, desk.time_zone());
    page.printed_by = desk.state().people.at(call.who).name;
    page.key = desk.state().record.key.key;
    auto seed = parts.seed();
    if (!seed) return seal_refused(seed.error());
    page.groups = recovery_text(*seed);
    wipe(*seed);
    auto pdf = recovery_page_pdf(page);
    if (!pdf) return error_response(500, pdf.error());
    // In the record before it is out of the house: a page that was made and not written down would be a secret copy.
    const commands::RecordRecovery command{page.key};
    if (const auto ran = call.api.desk().run(command, call.who); ran.refusal) return seal_refused(*ran.refusal);
    HttpResponse response;
    response.content_type = "application/pdf";
    response.body = std::move(*pdf);
    response.headers.emplace_back("Content-Disposition", "inline; filename=\"recovery.pdf\"");
    return response;
}

}  // namespace

std::vector<Route> checkpoint_routes() {
    return {
        {"GET", "/api/checkpoints", "checkpoints", Needs::office, &checkpoints_list, nullptr},
        {"GET", "/api/checkpoints/{size}", "checkpointNote", Needs::office, &checkpoint_note, nullptr},
        {"POST", "/api/checkpoints", "signCheckpoint", Needs::office, &sign_now, &members_of<api::NoBody>},
        {"POST", "/api/checkpoints/countersignature", "bringCountersignature", Needs::signed_in,
         &bring_countersignature, &members_of<api::CountersignatureBody>},
        {"GET", "/api/consistency", "consistencyProof", Needs::office, &consistency, nullptr},
        {"POST", "/api/witnesses", "knowWitness", Needs::office, &know_witness, &members_of<api::WitnessBody>},
        {"POST", "/api/witnesses/forget", "forgetWitness", Needs::office, &forget_witness,
         &members_of<api::ForgetWitnessBody>},
        {"GET", "/api/keys", "keys", Needs::signed_in, &keys_shown, nullptr},
        {"POST", "/api/keys/hand-over", "handOverKey", Needs::setter, &hand_over_key, &members_of<api::HandOverBody>},
        {"POST", "/api/keys/recovery-page", "recoveryPage", Needs::setter, &recovery_page,
         &members_of<api::RecoveryBody>},
    };
}

}  // namespace crimpgate
