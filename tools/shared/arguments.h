// Command-line arguments of the small tools: --name VALUE and --flag, nothing else, each at most once.
#pragma once

#include <charconv>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "specs/message.h"

namespace crimpgate {

class Arguments {
  public:
    static Result<Arguments> parse(int argc, char* const argv[], const std::vector<std::string_view>& valued,
                                   const std::vector<std::string_view>& flags) {
        Arguments given;
        const auto among = [](const auto& list, std::string_view name) {
            for (const auto& item : list)
                if (item == name) return true;
            return false;
        };
        for (int i = 1; i < argc; ++i) {
            const std::string name = argv[i];
            if (given.has(name)) return refuse(message("arguments.twice").with("name", name));
            if (among(flags, name))
                given.values_[name] = {};
            else if (!among(valued, name))
                return refuse(message("arguments.unknown").with("name", name));
            else if (i + 1 == argc)
                return refuse(message("arguments.no_value").with("name", name));
            else
                given.values_[name] = argv[++i];
        }
        return given;
    }

    bool has(std::string_view name) const { return values_.contains(name); }
    // Empty when it was not given.
    std::string value(std::string_view name) const {
        const auto found = values_.find(name);
        return found == values_.end() ? std::string() : found->second;
    }
    Result<int> number(std::string_view name, int least, int most) const {
        const std::string text = value(name);
        int result = 0;
        const auto [end, ec] = std::from_chars(text.data(), text.data() + text.size(), result);
        if (ec != std::errc{} || end != text.data() + text.size() || result < least || result > most)
            return refuse(message("arguments.bad_number")
                              .with("name", name)
                              .with("found", text)
                              .with("least", std::to_string(least))
                              .with("most", std::to_string(most)));
        return result;
    }

  private:
    std::map<std::string, std::string, std::less<>> values_;
};

}  // namespace crimpgate
