#include "station/people/sessions.h"

#include <sodium.h>

#include <algorithm>
#include <array>
#include <stdexcept>
#include <utility>

namespace crimpgate {

namespace {
constexpr std::int64_t ns_in_ms = 1'000'000;
}

std::string Sessions::begin(const std::string& person, SessionKind kind) {
    forget_old();
    if (open_.size() >= most)
        close(std::min_element(open_.begin(), open_.end(), [](const auto& a, const auto& b) {
            return a.second.used_mono_ns < b.second.used_mono_ns;
        }));
    if (sodium_init() < 0) throw std::runtime_error("libsodium does not start");
    std::array<unsigned char, 16> random{};
    randombytes_buf(random.data(), random.size());
    std::array<char, 2 * random.size() + 1> text{};
    sodium_bin2hex(text.data(), text.size(), random.data(), random.size());
    std::string token(text.data());
    open_[token] = Session{person, kind, clock_.mono_ns(), clock_.mono_ns()};
    return token;
}

std::optional<std::string> Sessions::person(std::string_view token, bool by_itself) {
    forget_old();
    const auto found = open_.find(token);
    if (found == open_.end()) return std::nullopt;
    auto& session = found->second;
    if (!by_itself || session.kind == SessionKind::program) session.used_mono_ns = clock_.mono_ns();
    return session.person;
}

void Sessions::end(std::string_view token) {
    if (const auto found = open_.find(token); found != open_.end()) close(found);
}

void Sessions::end_all_of(const std::string& person) {
    for (auto at = open_.begin(); at != open_.end();)
        at = at->second.person == person ? close(at) : std::next(at);
}

void Sessions::used_by(const std::string& person) {
    for (auto& [token, session] : open_)
        if (session.person == person) session.used_mono_ns = clock_.mono_ns();
}

std::vector<std::string> Sessions::take_ended() {
    forget_old();
    return std::exchange(ended_, {});
}

Sessions::Open::iterator Sessions::close(Open::iterator session) {
    ended_.push_back(std::move(session->second.person));
    return open_.erase(session);
}

void Sessions::forget_old() {
    const std::int64_t now = clock_.mono_ns();
    for (auto at = open_.begin(); at != open_.end();) {
        const auto& s = at->second;
        const std::int64_t idle_ms = s.kind == SessionKind::page ? page_idle_ms_ : idle_ms_;
        const bool old = now - s.used_mono_ns > idle_ms * ns_in_ms || now - s.begun_mono_ns > longest_ms * ns_in_ms;
        at = old ? close(at) : std::next(at);
    }
}

}  // namespace crimpgate
