// One TOML table read key by key, against a closed key set: a key that nobody asked for is an error with its line.
//
// Errors gather in a list that all tables of a file share; a getter whose key is missing or wrong adds one and gives
// a harmless value, so that reading goes on and the caller looks at the list once, at the end.
#pragma once

#include <cstdint>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#define TOML_EXCEPTIONS 0
#include <toml++/toml.h>

#include "specs/length.h"
#include "specs/message.h"

namespace crimpgate {

struct TomlErrors {
    std::vector<Message> unknown;  // told before the others: a misspelt key is why another is missing
    std::vector<Message> others;
};

class TomlKeys {
  public:
    // `path` is what stands before the key in an error: "line." or "pattern[2].".
    TomlKeys(const toml::table& table, std::string path, TomlErrors& errors);

    bool has(std::string_view key) const { return table_.contains(key); }
    std::string text(std::string_view key);
    // A string of bytes: characters up to U+007F as they are (TOML's escapes included), or "hex:" and digits in pairs.
    std::string bytes(std::string_view key);
    std::vector<std::string> texts(std::string_view key);       // one string or an array of them; empty when missing
    std::vector<std::string> byte_texts(std::string_view key);  // the same, each read as bytes()
    int integer(std::string_view key, int least, int most);
    bool boolean(std::string_view key);
    // A quoted decimal number: TOML's own numbers go through floating point.
    Length length(std::string_view key, LengthUnit unit);
    // The index of the word among those allowed.
    std::size_t choice(std::string_view key, const std::vector<std::string_view>& words);
    // A table of its own; an empty one, with an error, when missing.
    TomlKeys table(std::string_view key);
    std::vector<TomlKeys> tables(std::string_view key);  // [[key]]; empty when missing

    void bad(std::string_view key, std::string_view found, std::string_view expected);
    void pattern_error(std::string_view what);
    // Call last: keys that nobody asked for.
    void finish();

  private:
    const toml::node* take(std::string_view key);
    const toml::node* need(std::string_view key, std::string_view expected);
    std::string decode_bytes(std::string_view key, const std::string& text);

    const toml::table& table_;
    std::string path_;
    TomlErrors& errors_;
    std::set<std::string, std::less<>> asked_;
};

}  // namespace crimpgate
