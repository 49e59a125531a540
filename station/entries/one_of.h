// Whether a type is one of a variant's, and a way to compile a class over such a variant once.
#pragma once

#include <type_traits>
#include <utility>
#include <variant>

namespace crimpgate {

template <class T, class Variant>
inline constexpr bool is_one_of = false;
template <class T, class... Types>
inline constexpr bool is_one_of<T, std::variant<Types...>> = (std::is_same_v<T, Types> || ...);

// Makes a Whole of each of the variant's types, so that its constructors, which other files only declare, are in the
// object file of whoever calls this. They must not be inlined (gnu::noinline).
template <class Whole, class... Types>
void make_one_of_each(const std::variant<Types...>*) {
    (static_cast<void>(Whole(Types{})), ...);
}

}  // namespace crimpgate
