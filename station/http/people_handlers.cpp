// People: who is known here, added, given a new secret. See session_handlers.cpp for signing in.
#include <boost/json.hpp>

#include "station/http/api.h"
#include "station/http/describe_commands.h"
#include "station/json/reflect.h"

namespace crimpgate::handlers {

namespace {

// Of the line that was set at the station, else of the configuration's.
std::optional<GaugeProfile> profile_of(Api& asked, const std::string& gauge) {
    const auto& lines = asked.desk().state().lines;
    if (const auto line = lines.find(gauge); line != lines.end())
        return GaugeProfile{line->second.profile, line->second.profile_sha256};
    const auto& configured = asked.parts().gauges;
    if (const auto known = configured.find(gauge); known != configured.end()) return known->second;
    return std::nullopt;
}

}  // namespace

HttpAnswer people_list(ApiCall& call) {
    boost::json::array people;
    for (const auto& [id, person] : call.api.desk().state().people)
        people.push_back(boost::json::object{{"person", id},
                                             {"name", person.name},
                                             {"role", reflect::enum_name(person.role)},
                                             {"badge", person.badge},
                                             {"language", person.language},
                                             {"retired", person.retired},
                                             {"pin", !person.pin_hash.empty()},
                                             {"passphrase", !person.passphrase_hash.empty()},
                                             {"locked", person.wrong_in_a_row >= Api::most_wrong}});
    return ok({{"people", std::move(people)}});
}

HttpAnswer add_person(ApiCall& call) {
    auto read = reflect::from_json<api::PersonBody>(call.body);
    if (!read) return error_response(400, read.error());
    if (call.api.desk().state().people.empty())
        if (auto right = call.api.check_first_code(read->code.value_or("")); !right) return refusal_of(right.error());
    for (const auto& [member, text] : {std::pair("name", read->name), std::pair("person", read->person)})
        if (auto fine = call.api.check_texts(boost::json::string(text), member); !fine)
            return error_response(400, fine.error());
    commands::AddPerson add;
    if (read->pin) {
        auto hash = call.api.hash_for(Secret::pin, *read->pin, {});
        if (!hash) return refusal_of(hash.error());
        add.pin_hash = std::move(*hash);
    }
    if (read->passphrase) {
        auto hash = call.api.hash_for(Secret::passphrase, *read->passphrase,
                                      {read->person, read->name, read->badge.value_or("")});
        if (!hash) return refusal_of(hash.error());
        add.passphrase_hash = std::move(*hash);
    }
    add.person = read->person;
    add.name = read->name;
    add.role = read->role;
    add.badge = read->badge;
    add.language = read->language;
    return answer_of(call.api.desk().run(add, call.who));
}

HttpAnswer set_secret(ApiCall& call) {
    auto read = reflect::from_json<api::SecretBody>(call.body);
    if (!read) return error_response(400, read.error());
    if (read->pin.has_value() == read->passphrase.has_value()) return refusal_of(message("people.one_secret"));
    commands::SetSecret set;
    set.person = read->person;
    set.secret = read->pin ? Secret::pin : Secret::passphrase;
    std::vector<std::string> known{read->person};
    const auto& people = call.api.desk().state().people;
    if (const auto person = people.find(read->person); person != people.end())
        known.insert(known.end(), {person->second.name, person->second.badge});
    auto hash = call.api.hash_for(set.secret, read->pin ? *read->pin : *read->passphrase, known);
    if (!hash) return refusal_of(hash.error());
    set.secret_hash = std::move(*hash);
    return answer_of(call.api.desk().run(set, call.who));
}

HttpAnswer register_gauge(ApiCall& call) {
    auto read = reflect::from_json<api::GaugeBody>(call.body);
    if (!read) return error_response(400, read.error());
    const auto profile = profile_of(call.api, read->gauge);
    if (!profile) return error_response(409, message("api.gauge_not_configured").with("gauge", read->gauge));
    if (auto fine = call.api.check_texts(call.body, ""); !fine) return error_response(400, fine.error());
    entries::GaugeRegistered gauge;
    gauge.gauge = read->gauge;
    gauge.profile = profile->profile;
    gauge.profile_sha256 = profile->sha256;
    gauge.resolution = read->resolution;
    gauge.uncertainty = read->uncertainty;
    gauge.proof_limit = read->proof_limit;
    gauge.calibrated = read->calibrated;
    gauge.calibration_due = read->calibration_due;
    gauge.certificate = read->certificate;
    return answer_of(call.api.desk().run(commands::RegisterGauge{std::move(gauge)}, call.who));
}

}  // namespace crimpgate::handlers
