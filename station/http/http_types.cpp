#include "station/http/http_types.h"

#include <boost/json.hpp>

#include "station/json/canonical.h"
#include "station/words/catalogue.h"

namespace crimpgate {

std::string HttpRequest::cookie(std::string_view name) const {
    const auto found = cookies.find(name);
    return found == cookies.end() ? std::string() : found->second;
}

HttpResponse error_response(int status, const Message& message) {
    boost::json::object details;
    Message shown = message;
    for (auto& d : shown.details) {
        // What a stranger sent may be no text at all.
        if (!is_utf8(d.text)) d.text = "?";
        details[d.name] = d.text;
    }
    HttpResponse response;
    response.status = status;
    response.body =
        canonical(boost::json::object{{"code", shown.code}, {"details", std::move(details)}, {"words", say(shown)}});
    return response;
}

}  // namespace crimpgate
