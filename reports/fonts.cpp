#include "reports/fonts.h"

#include <fmt/core.h>
#include <ft2build.h>
#include FT_FREETYPE_H
#include FT_ADVANCES_H

#include <algorithm>
#include <array>
#include <memory>

#include "specs/shown_text.h"

namespace crimpgate {

namespace {

constexpr std::size_t plane = 0x10000;

struct CloseLibrary {
    void operator()(FT_Library l) const { FT_Done_FreeType(l); }
};
struct CloseFace {
    void operator()(FT_Face f) const { FT_Done_Face(f); }
};
using Library = std::unique_ptr<FT_LibraryRec_, CloseLibrary>;
using Face = std::unique_ptr<FT_FaceRec_, CloseFace>;

tl::unexpected<Message> unusable(const std::string& path, std::string_view why) {
    return refuse(message("print.font_unusable").with("path", path).with("why", why));
}

// Unicode general categories Cc, Cf and Co with what else has no ink and changes its neighbours: such a character in a
// name is a mistake or a trick (U+202E turns the rest of a line around).
bool formatting_only(char32_t c) {
    struct Range {
        char32_t first, last;
    };
    static constexpr std::array<Range, 17> ranges{{{0x00, 0x1F},
                                                   {0x7F, 0x9F},
                                                   {0xAD, 0xAD},
                                                   {0x34F, 0x34F},
                                                   {0x600, 0x605},
                                                   {0x61C, 0x61C},
                                                   {0x70F, 0x70F},
                                                   {0x115F, 0x1160},
                                                   {0x17B4, 0x17B5},
                                                   {0x180B, 0x180F},
                                                   {0x200B, 0x200F},
                                                   {0x2028, 0x202E},
                                                   {0x2060, 0x206F},
                                                   {0xE000, 0xF8FF},
                                                   {0xFE00, 0xFE0F},
                                                   {0xFEFF, 0xFEFF},
                                                   {0xFFF0, 0xFFFF}}};
    if (std::any_of(ranges.begin(), ranges.end(), [c](const Range& r) { return r.first <= c && c <= r.last; }))
        return true;
    return c >= 0xE0000;  // tags, variation selectors, private planes
}

}  // namespace

Result<Typeface> Typeface::open(const std::string& path) {
    FT_Library raw_library = nullptr;
    if (FT_Init_FreeType(&raw_library) != 0) return unusable(path, "FreeType does not start");
    const Library library(raw_library);
    FT_Face raw_face = nullptr;
    if (FT_New_Face(library.get(), path.c_str(), 0, &raw_face) != 0) return unusable(path, "missing or damaged");
    const Face face(raw_face);
    if (FT_Select_Charmap(face.get(), FT_ENCODING_UNICODE) != 0) return unusable(path, "no Unicode table");
    if (face->units_per_EM == 0) return unusable(path, "not an outline font");

    Typeface out;
    out.path_ = path;
    out.widths_.assign(plane, absent);
    FT_UInt glyph = 0;
    for (FT_ULong c = FT_Get_First_Char(face.get(), &glyph); glyph != 0 && c < plane;
         c = FT_Get_Next_Char(face.get(), c, &glyph)) {
        FT_Fixed advance = 0;
        if (FT_Get_Advance(face.get(), glyph, FT_LOAD_NO_SCALE, &advance) != 0 || advance < 0) continue;
        const auto thousandths = advance * 1000 / face->units_per_EM;
        if (thousandths < absent) out.widths_[c] = static_cast<std::uint16_t>(thousandths);
    }
    return out;
}

Result<FontSet> FontSet::load(const std::string& directory) {
    FontSet out;
    for (const char* name : {"main", "bold", "wide", "second"}) {
        auto face = Typeface::open(fmt::format("{}/{}.ttf", directory, name));
        if (!face) return refuse(face.error());
        out.faces_.push_back(std::move(*face));
    }
    return out;
}

std::string FontSet::built_directory() {
    return CRIMPGATE_FONTS_DIRECTORY;
}

std::size_t FontSet::face_for(char32_t c) const {
    for (const std::size_t face : {main, wide, second})
        if (faces_[face].has(c)) return face;
    return main;
}

bool FontSet::has(char32_t c) const {
    return faces_[face_for(c)].has(c);
}

bool FontSet::all_bold(std::u32string_view text) const {
    return std::all_of(text.begin(), text.end(), [this](char32_t c) { return c <= 0xFF && faces_[bold].has(c); });
}

std::vector<TextRun> FontSet::runs(std::u32string_view text, Weight weight) const {
    if (text.empty()) return {};
    if (weight == Weight::bold && all_bold(text)) return {{bold, std::u32string(text)}};
    std::vector<TextRun> out;
    for (const char32_t c : text) {
        const std::size_t face = face_for(c);
        if (out.empty() || out.back().face != face) out.push_back({face, {}});
        out.back().text += c;
    }
    return out;
}

double FontSet::width(std::u32string_view text, Weight weight) const {
    long thousandths = 0;
    const bool in_bold = weight == Weight::bold && all_bold(text);
    for (const char32_t c : text)
        thousandths += faces_[in_bold ? bold : face_for(c)].width(c);
    return static_cast<double>(thousandths) / 1000;
}

std::vector<UnprintableChar> unprintable_characters(std::u32string_view text, const FontSet& fonts) {
    std::vector<UnprintableChar> out;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (formatting_only(text[i]))
            out.push_back({text[i], i + 1, true});
        else if (!fonts.has(text[i]))
            out.push_back({text[i], i + 1, false});
    }
    return out;
}

Result<void> printable(std::string_view utf8, const FontSet& fonts) {
    const auto text = decode_utf8(utf8);
    if (!text) return refuse(text.error());
    const auto wrong = unprintable_characters(*text, fonts);
    if (wrong.empty()) return {};
    const UnprintableChar& first = wrong.front();
    const auto code = fmt::format("U+{:04X}", static_cast<std::uint32_t>(first.code_point));
    const auto position = fmt::format("{}", first.position);
    if (first.formatting)
        return refuse(message("print.control_character").with("code", code).with("position", position));
    return refuse(message("print.no_glyph")
                      .with("character", encode_utf8(std::u32string(1, first.code_point)))
                      .with("code", code)
                      .with("position", position));
}

Result<std::u32string> decode_utf8(std::string_view text) {
    std::u32string out;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t size = utf8_character(text.substr(at));
        if (size == 0) return refuse(message("print.not_utf8").with("byte", fmt::format("{}", at + 1)));
        char32_t c = static_cast<unsigned char>(text[at]);
        if (size > 1) c &= 0x7FU >> size;
        for (std::size_t i = 1; i < size; ++i)
            c = (c << 6U) | (static_cast<unsigned char>(text[at + i]) & 0x3FU);
        out += c;
        at += size;
    }
    return out;
}

std::string encode_utf8(std::u32string_view text) {
    std::string out;
    const auto tail = [&out](char32_t c, unsigned shift) { out += static_cast<char>(0x80U | ((c >> shift) & 0x3FU)); };
    for (const char32_t c : text) {
        if (c < 0x80) {
            out += static_cast<char>(c);
        } else if (c < 0x800) {
            out += static_cast<char>(0xC0U | (c >> 6U));
            tail(c, 0);
        } else if (c < 0x10000) {
            out += static_cast<char>(0xE0U | (c >> 12U));
            tail(c, 6);
            tail(c, 0);
        } else {
            out += static_cast<char>(0xF0U | (c >> 18U));
            tail(c, 12);
            tail(c, 6);
            tail(c, 0);
        }
    }
    return out;
}

}  // namespace crimpgate
