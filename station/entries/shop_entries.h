// Entries about the shop itself: its people, where its gauges and printers are, its limits. See entries.h.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace crimpgate {

enum class Role { operator_, lead, setter, auditor };
// What a person proves themselves with: a badge and a PIN at the station's own machine, or a passphrase from anywhere.
enum class Secret { pin, passphrase };
enum class ShownUnit { mm, inch };

namespace entries {

// --- people: added once, changed by further entries, retired, never deleted ---
struct PersonAdded {
    static constexpr std::string_view type = "person.added";
    std::string person;
    std::string name;
    Role role = Role::operator_;
    std::string pin_hash;  // Argon2id string; empty: no PIN
    std::optional<std::string> passphrase_hash{};
    std::optional<std::string> badge{};     // what their badge says; not given: the same as `person`
    std::optional<std::string> language{};  // of the pages, "en"
};
struct SignedIn {
    static constexpr std::string_view type = "person.signed_in";
    std::string person;
};
struct SignedOut {
    static constexpr std::string_view type = "person.signed_out";
    std::string person;
    std::optional<std::string> cause{};  // "idle", "taken_over"; not given: by themselves
};
struct SignInRefused {
    static constexpr std::string_view type = "person.sign_in_refused";
    std::string person;
};
// Sets a PIN or passphrase anew; whoever was locked out after too many wrong ones is let in again.
struct SecretSet {
    static constexpr std::string_view type = "person.secret_set";
    std::string person;
    Secret secret = Secret::pin;
    std::string secret_hash;  // Argon2id string
};
struct RoleGiven {
    static constexpr std::string_view type = "person.role_given";
    std::string person;
    Role role = Role::operator_;
};
// From here on this badge is theirs, and what theirs was before opens nothing.
struct BadgeGiven {
    static constexpr std::string_view type = "person.badge_given";
    std::string person;
    std::string badge;
};
struct PersonRetired {
    static constexpr std::string_view type = "person.retired";
    std::string person;
    std::string reason;
};
struct LanguageChosen {
    static constexpr std::string_view type = "person.language_chosen";
    std::string person;
    std::string language;
};
// A session of the pages or of a program; who stands at the bench is told by person.signed_in.
struct SessionBegun {
    static constexpr std::string_view type = "session.begun";
    std::string person;
    Secret secret = Secret::pin;
    bool from_here = true;  // the station's own machine
};
struct SessionEnded {
    static constexpr std::string_view type = "session.ended";
    std::string person;
};

// --- devices ---
// Where a gauge's line is and what it speaks; the station opens it at once.
struct GaugeLineSet {
    static constexpr std::string_view type = "gauge.line_set";
    std::string gauge;
    std::string port;     // a stable name, or tcp://host:port
    std::string profile;  // its id
    std::string profile_sha256;
};
struct PrinterChosen {
    static constexpr std::string_view type = "printer.chosen";
    std::string printer;  // a print queue; empty: into the folder only
    std::string size;     // "100x150", "100x50", "a6"
    std::int64_t dpi = 203;
};
struct ScreenSet {
    static constexpr std::string_view type = "screen.set";
    std::int64_t um_per_pixel = 265;  // of the operator's screen: sizes for gloves are millimetres
    bool sound = true;
};

// --- the shop's limits: in place of the configuration's from here on ---
struct LimitsSet {
    static constexpr std::string_view type = "limits.set";
    std::int64_t proof_interval_min = 240;
    std::int64_t repeats_allowed = 1;
    bool prove_after_reconnect = true;
    bool own_hold_may_be_settled = false;
    std::int64_t hose_age_years = 4;
    std::int64_t sign_out_after_min = 15;   // without a reading or a word from whoever is signed in; 0: never
    bool simple_acceptance_allowed = true;  // tables may ask for it (R5)
    bool scrap_by_operator = false;         // a failed part, by an operator who did not measure it
    bool concession_needs_second = false;   // a second lead or a setter signs too
    ShownUnit shown_unit = ShownUnit::mm;
    bool operator==(const LimitsSet&) const = default;
};

}  // namespace entries
}  // namespace crimpgate
