#include "station/people/passphrases.h"

#include <algorithm>
#include <array>
#include <set>

#include "station/people/pins.h"

namespace crimpgate {
namespace {

constexpr std::size_t least_characters = 15;
constexpr std::size_t most_characters = 128;
constexpr std::size_t least_left = 8;       // beside words that are known
constexpr std::size_t least_different = 5;  // letters and digits; "aaaaaaaaabbbbbb" has two

std::size_t characters(std::string_view utf8) {
    return static_cast<std::size_t>(
        std::count_if(utf8.begin(), utf8.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
}

// What tells passphrases apart for those who guess: small letters, no blanks and no signs between.
std::string plain(std::string_view text) {
    std::string out;
    for (const char c : text) {
        if (c >= 'A' && c <= 'Z') {
            out += static_cast<char>(c - 'A' + 'a');
        } else if ((c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || static_cast<unsigned char>(c) >= 0x80) {
            out += c;
        }
    }
    return out;
}

void take_out(std::string& text, std::string_view piece) {
    if (piece.size() < 3) return;
    for (auto at = text.find(piece); at != std::string::npos; at = text.find(piece, at))
        text.erase(at, piece.size());
}

// Rows of a keyboard and of the alphabet, to be walked along in either direction and begun anywhere.
constexpr std::array<std::string_view, 7> rows = {"abcdefghijklmnopqrstuvwxyz",
                                                  "01234567890123456789",
                                                  "qwertyuiop",
                                                  "qwertzuiop",
                                                  "asdfghjkl",
                                                  "zxcvbnm",
                                                  "yxcvbnm"};

// Walks of four and more taken out: "qwertyuiopasdfgh" has nothing left.
std::string without_walks(const std::string& text) {
    std::string left;
    for (std::size_t at = 0; at < text.size();) {
        std::size_t longest = 0;
        for (const auto row : rows) {
            std::string forward(row), back(row.rbegin(), row.rend());
            for (const auto& way : {forward, back})
                for (std::size_t size = 4; at + size <= text.size() && size <= way.size(); ++size)
                    if (way.find(std::string_view(text).substr(at, size)) != std::string::npos)
                        longest = std::max(longest, size);
        }
        if (longest == 0) left += text[at];
        at += std::max<std::size_t>(longest, 1);
    }
    return left;
}

// The text is one piece over and over, the last time perhaps cut short: the piece.
std::string_view repeated_piece(std::string_view text) {
    for (std::size_t piece = 1; piece <= text.size() / 2; ++piece) {
        bool same = true;
        for (std::size_t i = piece; same && i < text.size(); ++i)
            same = text[i] == text[i - piece];
        if (same) return text.substr(0, piece);
    }
    return text;
}

// Words that lists of the most used passwords agree on (common practice), and phrases that became known as examples.
constexpr std::array<std::string_view, 22> usual = {"correcthorsebatterystaple",
                                                    "password",
                                                    "passphrase",
                                                    "passwort",
                                                    "kennwort",
                                                    "letmein",
                                                    "welcome",
                                                    "willkommen",
                                                    "iloveyou",
                                                    "ichliebedich",
                                                    "admin",
                                                    "administrator",
                                                    "changeme",
                                                    "geheim",
                                                    "secret",
                                                    "default",
                                                    "qwerty",
                                                    "qwertz",
                                                    "sunshine",
                                                    "football",
                                                    "princess",
                                                    "crimpgate"};

}  // namespace

Result<void> passphrase_may_be_used(std::string_view passphrase, const std::vector<std::string>& known) {
    const std::size_t length = characters(passphrase);
    if (length < least_characters)
        return refuse(message("people.passphrase_too_short").with("least", std::to_string(least_characters)));
    if (length > most_characters)
        return refuse(message("people.passphrase_too_long").with("most", std::to_string(most_characters)));
    std::string left = plain(passphrase);
    // Mostly signs: they are the secret then, and are looked at as they are.
    if (characters(left) * 2 < length) left = passphrase;
    const bool too_few = std::set<char>(left.begin(), left.end()).size() < least_different;
    left = std::string(repeated_piece(left));
    for (const auto word : usual)
        take_out(left, word);
    for (const auto& text : known) {
        take_out(left, plain(text));
        std::string part;
        for (const char c : text + " ") {  // each word of a name
            if (c != ' ') {
                part += c;
                continue;
            }
            take_out(left, plain(part));
            part.clear();
        }
    }
    left = without_walks(left);
    if (too_few || characters(left) < least_left) return refuse(message("people.passphrase_too_common"));
    return {};
}

Result<std::string> hash_passphrase(std::string_view passphrase, const std::vector<std::string>& known) {
    if (auto fine = passphrase_may_be_used(passphrase, known); !fine) return refuse(std::move(fine.error()));
    return hash_of_secret(passphrase);
}

}  // namespace crimpgate
