#include "station/entries/entry_json.h"

#include "station/entries/describe_entries.h"
#include "station/json/reflect.h"

namespace crimpgate {

std::string_view type_of(const EntryBody& body) {
    return std::visit([](const auto& b) { return std::remove_cvref_t<decltype(b)>::type; }, body);
}

boost::json::object to_json(const EntryBody& body) {
    return std::visit([](const auto& b) { return reflect::write_struct(b); }, body);
}

Result<EntryBody> entry_body(std::string_view type, const boost::json::object& body) {
    Result<EntryBody> result = refuse(message("entry.unknown_type").with("type", type));
    boost::mp11::mp_for_each<boost::mp11::mp_transform<std::type_identity, EntryTypes>>([&](auto identity) {
        using Body = typename decltype(identity)::type;
        if (Body::type != type) return;
        auto read = reflect::from_json<Body>(body);
        if (read) {
            result = EntryBody(std::move(*read));
        } else {
            result = refuse(std::move(read.error()));
        }
    });
    return result;
}

boost::json::object to_json(const SpecRow& row) {
    return reflect::write_struct(row);
}

Result<SpecRow> spec_row(const boost::json::object& object) {
    return reflect::from_json<SpecRow>(object);
}

}  // namespace crimpgate
