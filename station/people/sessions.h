// Who is signed in over HTTP: random tokens of 128 bits, kept in memory, gone after a time without use and after a
// working day in any case.
//
// A session says who asks; who stands at the bench is the bench's own state and outlives it, since an operator's hands
// are on the caliper and not on the screen. A page's session ends as early as the bench's sign-in does, since anybody
// may step up to a screen; a program keeps its token to itself and has longer.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "drivers/clock.h"

namespace crimpgate {

enum class SessionKind { program, page };

class Sessions {
  public:
    static constexpr std::size_t most = 256;  // the one unused for longest makes room
    static constexpr std::int64_t longest_ms = 12LL * 3600 * 1000;

    // `idle_ms`: of a program's session, and of a page's until limit_pages() says otherwise.
    Sessions(const Clock& clock, std::int64_t idle_ms) : clock_(clock), idle_ms_(idle_ms), page_idle_ms_(idle_ms) {}

    // How long a page's session lives without use; 0: as long as a program's.
    void limit_pages(std::int64_t ms) { page_idle_ms_ = ms > 0 ? ms : idle_ms_; }

    // A new token, 32 lower-case hex digits; a token is never given twice.
    std::string begin(const std::string& person, SessionKind kind = SessionKind::program);
    // Whose token it is. Nothing for a token that is unknown or ran out. `by_itself`: a page asks without anybody
    // having touched it, which is no use of its session.
    std::optional<std::string> person(std::string_view token, bool by_itself = false);
    void end(std::string_view token);
    void end_all_of(const std::string& person);
    // What this person did elsewhere (a reading at the bench) counts as use.
    void used_by(const std::string& person);
    std::size_t size() const { return open_.size(); }

    // Whose sessions have ended since this was last asked, whatever ended them: for the record.
    std::vector<std::string> take_ended();

  private:
    struct Session {
        std::string person;
        SessionKind kind = SessionKind::program;
        std::int64_t begun_mono_ns = 0;
        std::int64_t used_mono_ns = 0;
    };
    using Open = std::map<std::string, Session, std::less<>>;
    Open::iterator close(Open::iterator session);
    void forget_old();

    const Clock& clock_;
    std::int64_t idle_ms_;
    std::int64_t page_idle_ms_;
    Open open_;
    std::vector<std::string> ended_;
};

}  // namespace crimpgate
