// The OpenAPI file and the route table say the same, both ways, down to each body's members.
#include "tests/support/catch.h"

#include <algorithm>
#include <boost/json.hpp>
#include <map>
#include <set>

#include "station/http/routes.h"

using namespace crimpgate;
namespace json = boost::json;

namespace crimpgate {
extern const std::string_view openapi_text;
}

namespace {

std::string lower(std::string_view text) {
    std::string out(text);
    for (char& c : out)
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c + 32);
    return out;
}

const char* needs_word(Needs needs) {
    switch (needs) {
        case Needs::nobody:
            return "nobody";
        case Needs::here:
            return "here";
        case Needs::first_person:
            return "first_person";
        case Needs::signed_in:
            return "signed_in";
        case Needs::setter:
            return "setter";
        case Needs::office:
            return "office";
    }
    return "";
}

// Follows "$ref" within the file.
const json::object& resolved(const json::value& file, const json::object& schema) {
    const auto* ref = schema.if_contains("$ref");
    if (ref == nullptr) return schema;
    const std::string_view text(ref->get_string());
    REQUIRE(text.substr(0, 1) == "#");
    return file.at_pointer(text.substr(1)).as_object();
}

}  // namespace

TEST_CASE("every route is described, and nothing is described that is no route") {
    const auto file = json::parse(openapi_text);
    CHECK(file.at("openapi") == "3.0.3");
    std::set<std::string> described, served;
    for (const auto& [path, methods] : file.at("paths").as_object())
        for (const auto& [method, operation] : methods.as_object())
            described.insert(std::string(method) + " " + std::string(path) + " " +
                             std::string(operation.at("operationId").as_string()) + " " +
                             std::string(operation.at("x-needs").as_string()));
    for (const auto& route : routes())
        served.insert(lower(route.method) + " " + std::string(route.path) + " " + std::string(route.name) + " " +
                      needs_word(route.needs));
    CHECK(described == served);
    CHECK(served.size() == routes().size());
}

TEST_CASE("each body has the members that the program reads, required where it requires them, and so has its example") {
    const auto file = json::parse(openapi_text);
    int bodies = 0;
    for (const auto& route : routes()) {
        const auto& operation = file.at("paths").at(route.path).at(lower(route.method)).as_object();
        INFO(std::string(route.name));
        CHECK(operation.contains("requestBody") == (route.body != nullptr));
        CHECK((route.method == "POST") == (route.body != nullptr));
        if (route.body == nullptr) continue;
        ++bodies;
        const auto& content = operation.at("requestBody").at("content").at("application/json");
        const auto& schema = content.at("schema").as_object();
        CHECK(schema.at("additionalProperties") == false);
        std::map<std::string, json::object> properties;
        for (const auto& [name, property] : schema.at("properties").as_object())
            properties[std::string(name)] = resolved(file, property.as_object());
        CHECK(properties.contains("by") == (route.name != "signIn"));
        properties.erase("by");
        std::set<std::string> required, reads_required, names;
        if (schema.contains("required"))
            for (const auto& name : schema.at("required").as_array())
                required.insert(std::string(name.as_string()));
        const auto& example = content.at("example").as_object();
        for (const auto& member : route.body()) {
            INFO(member.name);
            names.insert(member.name);
            if (member.required) reads_required.insert(member.name);
            CHECK((!member.required || example.contains(member.name)));
            REQUIRE(properties.contains(member.name));
            const auto& property = properties.at(member.name);
            CHECK(std::string(property.at("type").as_string()) == member.kind);
            std::vector<std::string> words;
            if (property.contains("enum"))
                for (const auto& word : property.at("enum").as_array())
                    words.emplace_back(word.as_string());
            CHECK(words == member.words);
        }
        CHECK(required == reads_required);
        for (const auto& [name, property] : properties)
            CHECK(names.contains(name));
        for (const auto& [name, value] : example)
            CHECK(names.contains(std::string(name)));
    }
    CHECK(bodies > 20);
}

TEST_CASE("every reference within the file leads somewhere") {
    const auto file = json::parse(openapi_text);
    const std::string text(openapi_text);
    int references = 0;
    for (auto at = text.find("\"#/"); at != std::string::npos; at = text.find("\"#/", at + 1)) {
        const auto pointer = text.substr(at + 2, text.find('"', at + 1) - at - 2);
        INFO(pointer);
        boost::system::error_code ec;
        CHECK(file.find_pointer(pointer, ec) != nullptr);
        ++references;
    }
    CHECK(references > 20);
}
