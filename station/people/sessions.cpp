#include "station/people/sessions.h"

#include <sodium.h>

#include <algorithm>
#include <array>
#include <stdexcept>

namespace crimpgate {

std::string Sessions::begin(const std::string& person) {
    forget_idle();
    if (open_.size() >= most) {
        open_.erase(std::min_element(open_.begin(), open_.end(), [](const auto& a, const auto& b) {
            return a.second.used_mono_ns < b.second.used_mono_ns;
        }));
    }
    if (sodium_init() < 0) throw std::runtime_error("libsodium does not start");
    std::array<unsigned char, 16> random{};
    randombytes_buf(random.data(), random.size());
    std::array<char, 2 * random.size() + 1> text{};
    sodium_bin2hex(text.data(), text.size(), random.data(), random.size());
    std::string token(text.data());
    open_[token] = Session{person, clock_.mono_ns()};
    return token;
}

std::optional<std::string> Sessions::person(std::string_view token) {
    forget_idle();
    const auto found = open_.find(token);
    if (found == open_.end()) return std::nullopt;
    found->second.used_mono_ns = clock_.mono_ns();
    return found->second.person;
}

void Sessions::end(std::string_view token) {
    if (const auto found = open_.find(token); found != open_.end()) open_.erase(found);
}

void Sessions::forget_idle() {
    const std::int64_t since = clock_.mono_ns() - idle_ms_ * 1'000'000;
    std::erase_if(open_, [&](const auto& session) { return session.second.used_mono_ns < since; });
}

}  // namespace crimpgate
