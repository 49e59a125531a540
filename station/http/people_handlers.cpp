// Signing in and out, and people.
#include <boost/json.hpp>

#include "station/http/api.h"
#include "station/http/describe_commands.h"
#include "station/json/reflect.h"
#include "station/people/pins.h"

namespace crimpgate::handlers {

HttpAnswer sign_in(ApiCall& call) {
    auto read = reflect::from_json<api::SignInBody>(call.body);
    if (!read) return error_response(400, read.error());
    if (auto proved = call.api.prove_person(read->person, read->pin); !proved) return refusal_of(proved.error());
    auto& desk = call.api.desk();
    const auto person = desk.state().people.at(read->person);
    const bool works = person.role == Role::operator_ || person.role == Role::lead;
    if (read->at_bench.value_or(works)) {
        if (auto ran = desk.run(commands::SignIn{}, read->person); ran.refusal) return refusal_of(*ran.refusal);
    }
    return ok({{"token", call.api.sessions().begin(read->person)},
               {"person", read->person},
               {"name", person.name},
               {"role", reflect::enum_name(person.role)}});
}

// Also at the bench, for whoever stands there.
HttpAnswer sign_out(ApiCall& call) {
    if (auto read = reflect::from_json<api::NoBody>(call.body); !read) return error_response(400, read.error());
    auto& desk = call.api.desk();
    Ran ran;
    if (desk.state().person == call.who) ran = desk.run(commands::SignOut{}, call.who);
    if (!ran.refusal) call.api.sessions().end(call.token);
    return answer_of(ran);
}

HttpAnswer add_person(ApiCall& call) {
    auto read = reflect::from_json<api::PersonBody>(call.body);
    if (!read) return error_response(400, read.error());
    if (auto fine = call.api.check_texts(boost::json::string(read->name), "name"); !fine)
        return error_response(400, fine.error());
    auto hash = hash_pin(read->pin);
    if (!hash) return refusal_of(hash.error());
    commands::AddPerson add;
    add.person = read->person;
    add.name = read->name;
    add.role = read->role;
    add.pin_hash = std::move(*hash);
    return answer_of(call.api.desk().run(add, call.who));
}

HttpAnswer register_gauge(ApiCall& call) {
    auto read = reflect::from_json<api::GaugeBody>(call.body);
    if (!read) return error_response(400, read.error());
    const auto& known = call.api.parts().gauges;
    const auto profile = known.find(read->gauge);
    if (profile == known.end())
        return error_response(409, message("api.gauge_not_configured").with("gauge", read->gauge));
    if (auto fine = call.api.check_texts(call.body, ""); !fine) return error_response(400, fine.error());
    entries::GaugeRegistered gauge;
    gauge.gauge = read->gauge;
    gauge.profile = profile->second.profile;
    gauge.profile_sha256 = profile->second.sha256;
    gauge.resolution = read->resolution;
    gauge.uncertainty = read->uncertainty;
    gauge.proof_limit = read->proof_limit;
    gauge.calibrated = read->calibrated;
    gauge.calibration_due = read->calibration_due;
    gauge.certificate = read->certificate;
    return answer_of(call.api.desk().run(commands::RegisterGauge{std::move(gauge)}, call.who));
}

}  // namespace crimpgate::handlers
