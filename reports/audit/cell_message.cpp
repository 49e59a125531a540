#include "reports/audit/cell_message.h"

#include <boost/json.hpp>

namespace crimpgate::audit {

Message message_in(std::string_view cell) {
    boost::system::error_code wrong;
    const auto value = boost::json::parse(cell, wrong);
    Message as_it_stands{std::string(cell), {}};
    if (wrong || !value.is_object()) return as_it_stands;
    const auto& object = value.get_object();
    const auto* code = object.if_contains("code");
    if (code == nullptr || !code->is_string()) return as_it_stands;
    Message out{std::string(code->get_string()), {}};
    const auto* details = object.if_contains("details");
    if (details == nullptr || !details->is_object()) return out;
    for (const auto& [name, text] : details->get_object())
        out.with(std::string_view(name),
                 text.is_string() ? std::string(text.get_string()) : boost::json::serialize(text));
    return out;
}

std::string code_and_details(const Message& message) {
    std::string out = message.code;
    std::string_view between = ": ";
    for (const auto& d : message.details) {
        out.append(between).append(d.name).append("=").append(d.text);
        between = "; ";
    }
    return out;
}

bool names_person(const Detail& detail) {
    return detail.name == "person" || detail.name == "who";
}

}  // namespace crimpgate::audit
