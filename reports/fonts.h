// The fonts that a tag is set in, and whether they can print a text at all.
//
// Fonts stand behind each other (tools/subset-fonts makes them at build time): main, a small subset of DejaVu Sans, for
// speed; wide, the rest of DejaVu that needs no shaping; second, IPA Gothic, for what DejaVu lacks. The PDF library
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

// bold has Latin-1 only: a text with any other character is set in regular as a whole.
enum class Weight { regular, bold };

// One font file: which characters of the basic multilingual plane it has, and how wide each is.
class Typeface {
  public:
    // Refusals: "print.font_unusable" with the path and what is wrong.
    static Result<Typeface> open(const std::string& path);

    const std::string& path() const { return path_; }
    bool has(char32_t c) const { return c < widths_.size() && widths_[c] != absent; }
    // In thousandths of the size, cut to whole ones just as the PDF library writes them; 0 for a character not there.
    int width(char32_t c) const { return has(c) ? widths_[c] : 0; }

  private:
    static constexpr std::uint16_t absent = 0xFFFF;
    std::string path_;
    std::vector<std::uint16_t> widths_;
};

// A stretch of text in one face.
struct TextRun {
    std::size_t face = 0;
    std::u32string text;
};

class FontSet {
  public:
    static constexpr std::size_t main = 0, bold = 1, wide = 2, second = 3, faces = 4;

    // Reads main.ttf, bold.ttf, wide.ttf and second.ttf in `directory`.
    static Result<FontSet> load(const std::string& directory);
    // Where the build put them.
    static std::string built_directory();

    bool has(char32_t c) const;
    const Typeface& face(std::size_t index) const { return faces_[index]; }
    // Cut at every change of face. A character that no face has goes to main, where it would print as a blank:
    // ask printable() first.
    std::vector<TextRun> runs(std::u32string_view text, Weight weight) const;
    // In multiples of the size.
    double width(std::u32string_view text, Weight weight) const;

  private:
    std::size_t face_for(char32_t c) const;
    bool all_bold(std::u32string_view text) const;
    std::vector<Typeface> faces_;
};

// A character that cannot be printed, and where it stands.
struct UnprintableChar {
    char32_t code_point = 0;
    std::size_t position = 0;  // 1 = first character of the text
    bool formatting = false;   // no look of its own: controls, zero-width and direction characters, private use
    bool operator==(const UnprintableChar&) const = default;
};

// Every character of a text that has no look of its own, that no font has, or that lies outside the basic multilingual
// plane, which the PDF library cannot print.
std::vector<UnprintableChar> unprintable_characters(std::u32string_view text, const FontSet& fonts);

// The check for wherever a name is entered; the first thing wrong is told. Refusals: "print.not_utf8" (byte, from 1),
// "print.control_character" (code, position), "print.no_glyph" (character, code as "U+1F600", position).
Result<void> printable(std::string_view utf8, const FontSet& fonts);

// Strict after RFC 3629; "print.not_utf8" as above.
Result<std::u32string> decode_utf8(std::string_view text);
std::string encode_utf8(std::u32string_view text);

}  // namespace crimpgate
