// What every PDF of ours needs around libharu: its first error kept (the library is unusable after it), the document
// freed, millimetres as points. For the files that draw with it; they include hpdf.h.
#pragma once

#include <hpdf.h>

namespace crimpgate {

inline constexpr double points_per_mm = 72 / 25.4;

struct FirstError {
    HPDF_STATUS error = HPDF_OK;
    HPDF_STATUS detail = HPDF_OK;
};

// libharu's error handler; `data` is a FirstError.
inline void keep_first(HPDF_STATUS error, HPDF_STATUS detail, void* data) {
    auto& first = *static_cast<FirstError*>(data);
    if (first.error == HPDF_OK) first = {error, detail};
}

struct FreeDocument {
    void operator()(HPDF_Doc d) const { HPDF_Free(d); }
};

}  // namespace crimpgate
