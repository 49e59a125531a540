#include "station/proof/recovery_text.h"

#include <array>
#include <optional>

namespace crimpgate {
namespace {

constexpr std::string_view alphabet = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
constexpr std::size_t data_groups = 13, data_in_group = 4, group_length = 5;
constexpr std::string_view prefix = "crimpgate-recovery/1\n";

// Product in GF(32), x^5 = x^2 + 1.
unsigned times(unsigned a, unsigned b) {
    unsigned product = 0;
    for (; b != 0; b >>= 1) {
        if ((b & 1) != 0) product ^= a;
        a <<= 1;
        if ((a & 32) != 0) a ^= 0b100101;
    }
    return product;
}

unsigned check_of(std::size_t number, const unsigned* data) {
    unsigned power = 1, sum = 0;
    for (std::size_t i = 0; i < data_in_group; ++i) {
        power = times(power, 2);
        sum ^= times(power, data[i]);
    }
    power = times(power, 4);  // a^6
    return sum ^ times(power, static_cast<unsigned>(number));
}

std::optional<unsigned> value_of(char c) {
    if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
    if (c == 'O') c = '0';
    if (c == 'I' || c == 'L') c = '1';
    const auto at = alphabet.find(c);
    if (at == std::string_view::npos) return std::nullopt;
    return static_cast<unsigned>(at);
}

Hash sum_of(const Seed& seed) {
    std::string all(prefix);
    all += as_text(seed);
    return sha256(all);
}

// All bits that the groups carry: 256 of the seed, 4 zeros, 40 of the sum.
std::array<unsigned, recovery_groups * data_in_group> digits_of(const Seed& seed) {
    std::string bytes(as_text(seed));
    const Hash sum = sum_of(seed);
    std::array<unsigned, recovery_groups * data_in_group> out{};
    const auto bit = [&](std::size_t i) -> unsigned {
        const auto at = [&](unsigned char byte, std::size_t n) {
            return static_cast<unsigned>(byte >> (7 - n % 8) & 1);
        };
        if (i < 256) return at(seed[i / 8], i);
        if (i < data_groups * 20) return 0;
        i -= data_groups * 20;
        return at(sum[i / 8], i);
    };
    for (std::size_t d = 0; d < out.size(); ++d)
        for (std::size_t i = 0; i < 5; ++i)
            out[d] = out[d] << 1 | bit(d * 5 + i);
    return out;
}

Message of_group(Message m, std::size_t number) {
    return std::move(m).with("group", std::to_string(number));
}

// The four values; the check was good.
Result<std::array<unsigned, data_in_group>> read_group(std::size_t number, std::string_view typed) {
    if (typed.size() != group_length)
        return refuse(of_group(message("recovery.length"), number).with("found", std::to_string(typed.size())));
    std::array<unsigned, group_length> values{};
    for (std::size_t i = 0; i < group_length; ++i) {
        const auto value = value_of(typed[i]);
        if (!value) return refuse(of_group(message("recovery.character"), number).with("place", std::to_string(i + 1)));
        values[i] = *value;
    }
    if (check_of(number, values.data()) != values[data_in_group])
        return refuse(of_group(message("recovery.group"), number));
    return std::array<unsigned, data_in_group>{values[0], values[1], values[2], values[3]};
}

}  // namespace

std::vector<std::string> recovery_text(const Seed& seed) {
    const auto digits = digits_of(seed);
    std::vector<std::string> out;
    for (std::size_t g = 0; g < recovery_groups; ++g) {
        std::string group;
        for (std::size_t i = 0; i < data_in_group; ++i)
            group += alphabet[digits[g * data_in_group + i]];
        group += alphabet[check_of(g + 1, digits.data() + g * data_in_group)];
        out.push_back(std::move(group));
    }
    return out;
}

Result<void> check_recovery_group(std::size_t number, std::string_view typed) {
    if (const auto read = read_group(number, typed); !read) return refuse(read.error());
    return {};
}

std::vector<std::string> groups_in(std::string_view typed) {
    std::vector<std::string> groups;
    bool inside = false;
    for (const char c : typed) {
        const bool between = c == ' ' || c == '\t' || c == '\n' || c == '\r' || c == '-';
        if (!between && !inside) groups.emplace_back();
        if (!between) groups.back() += c;
        inside = !between;
    }
    return groups;
}

tl::expected<Seed, std::vector<Message>> read_recovery_text(std::string_view typed) {
    const auto groups = groups_in(typed);
    std::vector<Message> wrong;
    std::array<unsigned, recovery_groups * data_in_group> digits{};
    for (std::size_t g = 0; g < groups.size() && g < recovery_groups; ++g) {
        const auto values = read_group(g + 1, groups[g]);
        if (!values) {
            wrong.push_back(values.error());
            continue;
        }
        for (std::size_t i = 0; i < data_in_group; ++i)
            digits[g * data_in_group + i] = (*values)[i];
    }
    if (groups.size() != recovery_groups)
        wrong.push_back(message("recovery.count")
                            .with("found", std::to_string(groups.size()))
                            .with("wanted", std::to_string(recovery_groups)));
    if (!wrong.empty()) return tl::unexpected(std::move(wrong));
    Seed seed{};
    for (std::size_t i = 0; i < 256; ++i)
        seed[i / 8] = static_cast<unsigned char>(seed[i / 8] << 1 | (digits[i / 5] >> (4 - i % 5) & 1));
    if (digits_of(seed) != digits) return tl::unexpected(std::vector<Message>{message("recovery.whole")});
    return seed;
}

}  // namespace crimpgate
