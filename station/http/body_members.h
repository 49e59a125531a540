// The members of a described struct as its JSON has them, for the comparison with the OpenAPI file.
#pragma once

#include <type_traits>
#include <vector>

#include "station/http/routes.h"
#include "station/json/reflect.h"

namespace crimpgate {

template <class T>
std::string kind_name() {
    if constexpr (std::is_same_v<T, std::string> || std::is_enum_v<T>)
        return "string";
    else if constexpr (std::is_same_v<T, bool>)
        return "boolean";
    else if constexpr (std::is_same_v<T, std::int64_t> || std::is_same_v<T, Length> || std::is_same_v<T, Pressure>)
        return "integer";
    else if constexpr (reflect::is_vector<T>::value)
        return "array";
    else
        return "object";
}

template <class T>
struct without_optional : std::type_identity<T> {};
template <class T>
struct without_optional<std::optional<T>> : std::type_identity<T> {};

template <class T>
std::vector<BodyMember> members_of() {
    std::vector<BodyMember> out;
    namespace describe = boost::describe;
    boost::mp11::mp_for_each<describe::describe_members<T, describe::mod_public>>([&](auto d) {
        using Member = std::remove_cvref_t<decltype(std::declval<T&>().*d.pointer)>;
        BodyMember member;
        member.name = reflect::member_name<Member>(d.name);
        member.required = !reflect::is_optional<Member>::value;
        using Bottom = typename without_optional<Member>::type;
        member.kind = kind_name<Bottom>();
        if constexpr (std::is_enum_v<Bottom>) {
            boost::mp11::mp_for_each<describe::describe_enumerators<Bottom>>(
                [&](auto e) { member.words.push_back(reflect::enum_name(e.value)); });
        }
        out.push_back(std::move(member));
    });
    return out;
}

}  // namespace crimpgate
