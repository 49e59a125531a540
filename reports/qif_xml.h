// Elements, attributes and figures of a QIF file (reports/qif.h), over pugixml: ids that count up, lists that say how
// long they are, text that XML 1.0 can hold.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include <pugixml.hpp>

#include "specs/length.h"
#include "specs/pressure.h"

namespace crimpgate::qif {

// Text as XML 1.0 section 2.2 allows it: what is no UTF-8 or no character of XML becomes U+FFFD.
std::string allowed(std::string_view text);

pugi::xml_node add(pugi::xml_node parent, const char* name);
pugi::xml_node add(pugi::xml_node parent, const char* name, std::string_view text);

// A list of the standard: <name n="0">, and its members, which count it up.
pugi::xml_node list(pugi::xml_node parent, const char* name);
pugi::xml_node member(pugi::xml_node list, const char* name);
pugi::xml_node member(pugi::xml_node list, const char* name, std::string_view text);

// <name n="..."><Id>..</Id></name>; nothing for no ids.
template <class Ids>
void references(pugi::xml_node parent, const char* name, const Ids& ids) {
    if (ids.empty()) return;
    auto all = list(parent, name);
    for (const auto id : ids)
        member(all, "Id", std::to_string(id));
}

// The user's attributes of an element, which stand in it once and before most else. Empty text is left out. A name
// stands once in an element: the standard asks for it.
class Attributes {
  public:
    explicit Attributes(pugi::xml_node owner) : owner_(owner) {}
    void text(const char* name, std::string_view value);
    void number(const char* name, std::int64_t value);
    void flag(const char* name, bool value);

  private:
    pugi::xml_node one(const char* element, const char* name);
    pugi::xml_node owner_, all_;
};

// A whole number over a power of ten, exact, with so many places at least.
std::string decimal(std::int64_t whole, int scale, int places_at_least = 0);
std::string millimetres(Length length, int places_at_least = 0);
std::string bar(Pressure pressure);

// Places that a gauge of that resolution shows: 2 for 0.01 mm, 4 for 0.0005 mm; 0 where it shows inches.
int places_of(Length resolution);

// "2026-11-25T07:00:00.000Z".
std::string utc(std::int64_t ms);

}  // namespace crimpgate::qif
