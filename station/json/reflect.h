// JSON objects to and from described structs (Boost.Describe): one generic walk instead of a pair of functions a type.
//
// The mapping, in both directions:
//   std::string, bool, std::int64_t   string, boolean, integer
//   Length, Pressure                  integer, under the member's name with _nm or _kpa behind it
//   enum                              its enumerator's name, a trailing underscore left off
//   std::optional<T>                  absent when empty (the journal's JSON has no null)
//   std::vector<T>, std::array, std::set, std::pair   array
//   std::map<K, V>                    array of [key, value]
//   described struct                  object
//   Message                           {"code": ..., "details": {...}}
// Reading is strict: an unknown member, a missing one and one of the wrong kind are each refused by name.
// Include this only where the walk is instantiated; it is costly to compile.
#pragma once

#include <array>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <type_traits>
#include <utility>
#include <vector>

#include <boost/describe.hpp>
#include <boost/json.hpp>
#include <boost/mp11.hpp>

#include "specs/length.h"
#include "specs/message.h"
#include "specs/pressure.h"

namespace crimpgate::reflect {

namespace json = boost::json;
namespace describe = boost::describe;

template <class T>
struct is_optional : std::false_type {};
template <class T>
struct is_optional<std::optional<T>> : std::true_type {};
template <class T>
struct is_vector : std::false_type {};
template <class T>
struct is_vector<std::vector<T>> : std::true_type {};

template <class T>
struct is_set : std::false_type {};
template <class T>
struct is_set<std::set<T>> : std::true_type {};
template <class T>
struct is_map : std::false_type {};
template <class K, class V>
struct is_map<std::map<K, V>> : std::true_type {};
template <class T>
struct is_array : std::false_type {};
template <class T, std::size_t N>
struct is_array<std::array<T, N>> : std::true_type {};
template <class T>
struct is_pair : std::false_type {};
template <class A, class B>
struct is_pair<std::pair<A, B>> : std::true_type {};

// The scalar at the bottom of optional<T> and vector<T>: it decides the unit in the name.
template <class T>
struct bottom {
    using type = T;
};
template <class T>
struct bottom<std::optional<T>> : bottom<T> {};
template <class T>
struct bottom<std::vector<T>> : bottom<T> {};

template <class T>
std::string member_name(const char* name) {
    using Bottom = typename bottom<T>::type;
    std::string out = name;
    if (!out.empty() && out.back() == '_') out.pop_back();
    if constexpr (std::is_same_v<Bottom, Length>) out += "_nm";
    if constexpr (std::is_same_v<Bottom, Pressure>) out += "_kpa";
    return out;
}

template <class E>
std::string enum_name(E value) {
    std::string out = describe::enum_to_string(value, "");
    if (!out.empty() && out.back() == '_') out.pop_back();
    return out;
}

template <class E>
bool enum_from(std::string_view text, E& out) {
    bool found = false;
    boost::mp11::mp_for_each<describe::describe_enumerators<E>>([&](auto d) {
        if (!found && enum_name(d.value) == text) {
            out = d.value;
            found = true;
        }
    });
    return found;
}

template <class T>
json::object write_struct(const T& value);

template <class T>
json::value write(const T& value) {
    if constexpr (std::is_same_v<T, std::string>) {
        return json::string(value);
    } else if constexpr (std::is_same_v<T, bool> || std::is_same_v<T, std::int64_t>) {
        return value;
    } else if constexpr (std::is_same_v<T, Length>) {
        return value.nm();
    } else if constexpr (std::is_same_v<T, Pressure>) {
        return value.kpa();
    } else if constexpr (std::is_enum_v<T>) {
        return json::string(enum_name(value));
    } else if constexpr (is_vector<T>::value || is_set<T>::value || is_array<T>::value || is_map<T>::value) {
        json::array out;
        for (const auto& element : value)
            out.push_back(write(element));
        return out;
    } else if constexpr (is_pair<T>::value) {
        return json::array{write(value.first), write(value.second)};
    } else if constexpr (std::is_same_v<T, Message>) {
        json::object details;
        for (const auto& d : value.details)
            details[d.name] = d.text;
        return json::object{{"code", value.code}, {"details", std::move(details)}};
    } else {
        return write_struct(value);
    }
}

template <class T>
json::object write_struct(const T& value) {
    json::object out;
    boost::mp11::mp_for_each<describe::describe_members<T, describe::mod_public>>([&](auto d) {
        const auto& member = value.*d.pointer;
        using Member = std::remove_cvref_t<decltype(member)>;
        if constexpr (is_optional<Member>::value) {
            if (member) out[member_name<Member>(d.name)] = write(*member);
        } else {
            out[member_name<Member>(d.name)] = write(member);
        }
    });
    return out;
}

template <class T>
Result<void> read_struct(const json::object& in, T& out, const std::string& path);

inline tl::unexpected<Message> wrong_kind(const std::string& path, std::string_view expected) {
    return refuse(message("json.wrong_kind").with("member", path).with("expected", expected));
}

template <class T>
Result<void> read(const json::value& in, T& out, const std::string& path) {
    if constexpr (std::is_same_v<T, std::string>) {
        if (!in.is_string()) return wrong_kind(path, "text");
        out.assign(in.get_string().data(), in.get_string().size());
    } else if constexpr (std::is_same_v<T, bool>) {
        if (!in.is_bool()) return wrong_kind(path, "true or false");
        out = in.get_bool();
    } else if constexpr (std::is_same_v<T, std::int64_t> || std::is_same_v<T, Length> || std::is_same_v<T, Pressure>) {
        std::int64_t number = 0;
        if (in.is_int64()) {
            number = in.get_int64();
        } else {
            return wrong_kind(path, "a whole number");
        }
        if constexpr (std::is_same_v<T, Length>) {
            out = Length::from_nm(number);
        } else if constexpr (std::is_same_v<T, Pressure>) {
            out = Pressure::from_kpa(number);
        } else {
            out = number;
        }
    } else if constexpr (std::is_enum_v<T>) {
        if (!in.is_string()) return wrong_kind(path, "a word");
        if (!enum_from(std::string_view(in.get_string()), out)) {
            std::string words;
            boost::mp11::mp_for_each<describe::describe_enumerators<T>>([&](auto d) {
                if (!words.empty()) words += ", ";
                words += enum_name(d.value);
            });
            return wrong_kind(path, words);
        }
    } else if constexpr (is_vector<T>::value) {
        if (!in.is_array()) return wrong_kind(path, "a list");
        out.clear();
        for (const auto& element : in.get_array()) {
            typename T::value_type value{};
            if (auto ok = read(element, value, path + "[" + std::to_string(out.size()) + "]"); !ok) return ok;
            out.push_back(std::move(value));
        }
    } else if constexpr (is_set<T>::value || is_map<T>::value) {
        if (!in.is_array()) return wrong_kind(path, "a list");
        out.clear();
        for (const auto& element : in.get_array()) {
            const std::string place = path + "[" + std::to_string(out.size()) + "]";
            if constexpr (is_map<T>::value) {
                std::pair<typename T::key_type, typename T::mapped_type> one;
                if (auto ok = read(element, one, place); !ok) return ok;
                out.insert(std::move(one));
            } else {
                typename T::value_type one{};
                if (auto ok = read(element, one, place); !ok) return ok;
                out.insert(std::move(one));
            }
        }
    } else if constexpr (is_array<T>::value) {
        if (!in.is_array() || in.get_array().size() != out.size()) return wrong_kind(path, "a list of that length");
        for (std::size_t i = 0; i < out.size(); ++i)
            if (auto ok = read(in.get_array()[i], out[i], path + "[" + std::to_string(i) + "]"); !ok) return ok;
    } else if constexpr (is_pair<T>::value) {
        if (!in.is_array() || in.get_array().size() != 2) return wrong_kind(path, "two things");
        if (auto ok = read(in.get_array()[0], out.first, path + "[0]"); !ok) return ok;
        return read(in.get_array()[1], out.second, path + "[1]");
    } else if constexpr (std::is_same_v<T, Message>) {
        if (!in.is_object()) return wrong_kind(path, "a message");
        const auto* code = in.get_object().if_contains("code");
        const auto* details = in.get_object().if_contains("details");
        if (code == nullptr || !code->is_string() || details == nullptr || !details->is_object())
            return wrong_kind(path, "a message");
        out.code = std::string(code->get_string());
        out.details.clear();
        for (const auto& [name, text] : details->get_object()) {
            if (!text.is_string()) return wrong_kind(path, "a message");
            out.with(std::string_view(name), std::string_view(text.get_string()));
        }
    } else {
        if (!in.is_object()) return wrong_kind(path, "an object");
        return read_struct(in.get_object(), out, path + ".");
    }
    return {};
}

template <class T>
Result<void> read_struct(const json::object& in, T& out, const std::string& path) {
    Result<void> result;
    std::size_t known = 0;
    boost::mp11::mp_for_each<describe::describe_members<T, describe::mod_public>>([&](auto d) {
        if (!result) return;
        auto& member = out.*d.pointer;
        using Member = std::remove_cvref_t<decltype(member)>;
        const std::string name = member_name<Member>(d.name);
        const auto* found = in.if_contains(name);
        if (found != nullptr) ++known;
        if constexpr (is_optional<Member>::value) {
            member.reset();
            if (found != nullptr) {
                typename Member::value_type value{};
                result = read(*found, value, path + name);
                if (result) member = std::move(value);
            }
        } else if (found != nullptr) {
            result = read(*found, member, path + name);
        } else {
            result = refuse(message("json.missing").with("member", path + name));
        }
    });
    if (!result || known == in.size()) return result;
    for (const auto& element : in) {
        bool named = false;
        boost::mp11::mp_for_each<describe::describe_members<T, describe::mod_public>>([&](auto d) {
            using Member = std::remove_cvref_t<decltype(out.*d.pointer)>;
            named = named || member_name<Member>(d.name) == std::string_view(element.key());
        });
        if (!named) return refuse(message("json.unknown").with("member", path + std::string(element.key())));
    }
    return result;
}

template <class T>
Result<T> from_json(const json::object& in) {
    T out{};
    if (auto ok = read_struct(in, out, ""); !ok) return refuse(std::move(ok.error()));
    return out;
}

}  // namespace crimpgate::reflect
