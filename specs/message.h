// What is said to a person, as a code and its details, never as a sentence.
//
// Words come from the message catalogue (station/words/en.json) when the message is shown, in the reader's language;
// the journal keeps the code and the details. Every code that the program can produce stands in the catalogue, and a
// test compares the two.
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include <tl/expected.hpp>

namespace crimpgate {

struct Detail {
    std::string name;
    std::string text;
    bool operator==(const Detail&) const = default;
};

struct Message {
    std::string code;             // "length.too_fine", stable for ever once released
    std::vector<Detail> details;  // what the catalogue's sentence has holes for
    bool operator==(const Message&) const = default;

    Message& with(std::string_view name, std::string_view text) & {
        details.push_back({std::string(name), std::string(text)});
        return *this;
    }
    Message&& with(std::string_view name, std::string_view text) && {
        details.push_back({std::string(name), std::string(text)});
        return std::move(*this);
    }
    // The text of a detail, empty when there is none of that name.
    std::string_view detail(std::string_view name) const {
        for (const auto& d : details)
            if (d.name == name) return d.text;
        return {};
    }
};

// The one way to make a message: the literal is what the catalogue test looks for.
inline Message message(std::string_view code) {
    return Message{std::string(code), {}};
}

// Errors from outside (a file, a device, a person) are values; exceptions are for bugs and lost resources.
template <class T>
using Result = tl::expected<T, Message>;

inline tl::unexpected<Message> refuse(Message m) {
    return tl::unexpected<Message>(std::move(m));
}

}  // namespace crimpgate
