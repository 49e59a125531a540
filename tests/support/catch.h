// The test framework behind one small header, so that Catch2 version 2 (Debian 12) and version 3 both work.
#pragma once

#if __has_include(<catch2/catch_all.hpp>)
#include <catch2/catch_all.hpp>
namespace cqt {
using Catch::Approx;
inline auto contains(const std::string& s) {
    return Catch::Matchers::ContainsSubstring(s);
}
}  // namespace cqt
#else
#include <catch2/catch.hpp>
namespace cqt {
using Catch::Detail::Approx;
inline auto contains(const std::string& s) {
    return Catch::Matchers::Contains(s);
}
}  // namespace cqt
#endif
