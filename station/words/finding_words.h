// A finding in the trade's words: what was measured, which limit it is held against, and by how much.
//
// A message, so that the sentence itself comes from the catalogue. Lengths are rounded to `places` decimals of the unit
// for show (specs/shown_length.h says why that is no judgement), and to more where the sentence would not make sense
// otherwise: a value that fails and looks like its limit, or a distance that looks no smaller than the guard which it
// is too small for. The finding keeps the exact ones. In inches the message has the detail "unit", and whoever makes
// the sentence writes that unit in place of the catalogue's mm.
#pragma once

#include "specs/judgement.h"
#include "specs/message.h"
#include "specs/shown_length.h"
#include "station/entries/shop_entries.h"

namespace crimpgate {

constexpr LengthUnit length_unit(ShownUnit unit) {
    return unit == ShownUnit::inch ? LengthUnit::inch : LengthUnit::mm;
}

Message words_of(const Finding& finding, int places = 2, ShownUnit unit = ShownUnit::mm);

}  // namespace crimpgate
