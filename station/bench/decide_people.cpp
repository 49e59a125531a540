// People: added, their badge, role, PIN and passphrase changed, retired; never deleted (R3), since the record names
// them.
#include "station/bench/decider.h"

namespace crimpgate {

using namespace entries;

Result<void> Decider::is_with_us(const std::string& person) const {
    const auto known = s_.people.find(person);
    if (known == s_.people.end() || known->second.retired)
        return refuse(message("bench.no_person").with("person", person));
    return {};
}

bool Decider::last_setter(const std::string& person) const {
    for (const auto& [id, other] : s_.people)
        if (id != person && other.role == Role::setter && !other.retired) return false;
    const auto known = s_.people.find(person);
    return known != s_.people.end() && known->second.role == Role::setter;
}

namespace {

// A badge opens for one person, and nobody's badge says another's id.
Result<void> badge_is_free(const BenchState& s, const std::string& badge, const std::string& whose) {
    for (const auto& [id, person] : s.people)
        if (id != whose && (id == badge || (person.badge == badge && !person.retired)))
            return refuse(message("bench.badge_taken").with("badge", badge));
    return {};
}

bool language_known(const std::string& language) {
    return language == "en" || language == "de";
}

}  // namespace

Result<void> Decider::operator()(const commands::AddPerson& c) {
    // The very first person sets the station up and must be able to add the others.
    if (s_.people.empty()) {
        if (c.role != Role::setter) return refuse(message("bench.first_person_sets_up"));
    } else if (auto ok = must_be(Role::setter); !ok) {
        return ok;
    }
    if (c.person.empty()) return refuse(message("bench.field_empty").with("field", "person"));
    if (c.name.empty()) return refuse(message("bench.field_empty").with("field", "name"));
    if (s_.people.contains(c.person)) return refuse(message("bench.person_known").with("person", c.person));
    if (c.pin_hash.empty() && c.passphrase_hash.value_or("").empty())
        return refuse(message("bench.field_empty").with("field", "pin"));
    const std::string badge = c.badge.value_or(c.person);
    if (badge.empty()) return refuse(message("bench.field_empty").with("field", "badge"));
    for (const auto& code : {c.person, badge})
        if (auto ok = badge_is_free(s_, code, c.person); !ok) return ok;
    if (c.language && !language_known(*c.language))
        return refuse(message("bench.no_language").with("language", *c.language));
    PersonAdded added;
    added.person = c.person;
    added.name = c.name;
    added.role = c.role;
    added.pin_hash = c.pin_hash;
    added.passphrase_hash = c.passphrase_hash;
    if (badge != c.person) added.badge = badge;
    added.language = c.language;
    emit(added);
    return {};
}

Result<void> Decider::operator()(const commands::SetSecret& c) {
    if (auto ok = is_with_us(who_); !ok) return refuse(message("bench.nobody"));
    if (c.person != who_)
        if (auto ok = must_be(Role::setter); !ok) return ok;
    if (auto ok = is_with_us(c.person); !ok) return ok;
    if (c.secret_hash.empty()) return refuse(message("bench.field_empty").with("field", "secret"));
    SecretSet set;
    set.person = c.person;
    set.secret = c.secret;
    set.secret_hash = c.secret_hash;
    emit(set);
    return {};
}

Result<void> Decider::operator()(const commands::GiveRole& c) {
    if (auto ok = must_be(Role::setter); !ok) return ok;
    if (auto ok = is_with_us(c.person); !ok) return ok;
    if (c.role != Role::setter && last_setter(c.person)) return refuse(message("bench.last_setter"));
    // Nobody stays at the bench in a role that may not measure.
    if (s_.person == c.person && c.role != Role::operator_ && c.role != Role::lead) emit(SignedOut{c.person});
    RoleGiven given;
    given.person = c.person;
    given.role = c.role;
    emit(given);
    return {};
}

Result<void> Decider::operator()(const commands::GiveBadge& c) {
    if (auto ok = must_be(Role::setter); !ok) return ok;
    if (auto ok = is_with_us(c.person); !ok) return ok;
    if (c.badge.empty()) return refuse(message("bench.field_empty").with("field", "badge"));
    if (auto ok = badge_is_free(s_, c.badge, c.person); !ok) return ok;
    BadgeGiven given;
    given.person = c.person;
    given.badge = c.badge;
    emit(given);
    return {};
}

Result<void> Decider::operator()(const commands::RetirePerson& c) {
    if (auto ok = must_be(Role::setter); !ok) return ok;
    if (auto ok = is_with_us(c.person); !ok) return ok;
    if (c.reason.empty()) return refuse(message("bench.field_empty").with("field", "reason"));
    if (last_setter(c.person)) return refuse(message("bench.last_setter"));
    if (s_.person == c.person) emit(SignedOut{c.person});
    PersonRetired retired;
    retired.person = c.person;
    retired.reason = c.reason;
    emit(retired);
    return {};
}

Result<void> Decider::operator()(const commands::ChooseLanguage& c) {
    if (auto ok = is_with_us(who_); !ok) return refuse(message("bench.nobody"));
    if (!language_known(c.language)) return refuse(message("bench.no_language").with("language", c.language));
    LanguageChosen chosen;
    chosen.person = who_;
    chosen.language = c.language;
    emit(chosen);
    return {};
}

}  // namespace crimpgate
