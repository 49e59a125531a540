// The fonts that a tag is set in, and whether they can print a text at all.
//
// Two fonts stand behind each other: a small subset of DejaVu Sans (regular and bold; Latin, Greek, Cyrillic, signs of
// the trade) made at build time for speed, and a second one (IPA Gothic) for what the first lacks. The PDF library
// prints a blank for a glyph that is missing and says nothing, so coverage is asked for here, with FreeType, where a
// name is entered and again before a tag is laid out.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "specs/message.h"

namespace crimpgate {

enum class Weight { regular, bold };

// One font file: which characters of the basic multilingual plane it has, and how wide each is.
class Typeface {
  public:
    // "print.font_missing", "print.font_unusable", each with the path.
    static Result<Typeface> open(const std::string& path);

    const std::string& path() const { return path_; }
    bool has(char32_t c) const { return c < widths_.size() && widths_[c] != absent; }
    // In thousandths of the size, as the PDF library writes it (cut to whole thousandths); 0 for a character not there.
    int width(char32_t c) const { return has(c) ? widths_[c] : 0; }

  private:
    static constexpr std::uint16_t absent = 0xFFFF;
    std::string path_;
    std::vector<std::uint16_t> widths_;
};

class FontSet {
  public:
    // Reads main.ttf, main-bold.ttf and second.ttf in `directory` (the build puts them into <build>/fonts).
    static Result<FontSet> load(const std::string& directory);

    // Index of the face that a character is printed with: the first that has it; -1 when none has.
    int face_for(char32_t c, Weight weight) const;
    const Typeface& face(int index) const { return faces_[static_cast<std::size_t>(index)]; }
    std::size_t faces() const { return faces_.size(); }

  private:
    std::vector<Typeface> faces_;  // main, main-bold, second
};

// A character that cannot be printed, and where it stands.
struct UnprintableChar {
    char32_t code_point = 0;
    std::string character;     // as UTF-8; empty for one that must not be shown (controls, direction overrides)
    std::size_t position = 0;  // 1 = first character of the text
    bool operator==(const UnprintableChar&) const = default;
};

// Every character of a text that no installed font has, that has no look of its own (controls, zero-width and
// direction characters, private use), or that lies outside the basic multilingual plane, which the PDF library cannot
// print. The text must be valid UTF-8.
std::vector<UnprintableChar> unprintable_characters(std::string_view utf8, const FontSet& fonts);

// The check for wherever a name is entered. Refusals: "print.not_utf8" (position, a byte count from 1),
// "print.control_character" (code, position), "print.no_glyph" (character, code "U+1F600", position).
Result<void> printable(std::string_view utf8, const FontSet& fonts);

}  // namespace crimpgate
