// Other programs' eyes on our PDFs: poppler, qpdf and two bar code readers. All come with tools/setup.
#pragma once

#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

#include "tests/support/temp_folder.h"

namespace crimpgate::outside {

struct Answer {
    int exit_code = 0;
    std::string out;
};

inline Answer run(const std::string& command) {
    FILE* pipe = popen((command + " 2>/dev/null").c_str(), "r");
    if (pipe == nullptr) throw std::runtime_error("cannot start " + command);
    Answer a;
    std::array<char, 4096> buffer{};
    for (std::size_t n = 0; (n = fread(buffer.data(), 1, buffer.size(), pipe)) > 0;)
        a.out.append(buffer.data(), n);
    const int status = pclose(pipe);
    a.exit_code = WIFEXITED(status) ? WEXITSTATUS(status) : 128;
    return a;
}

// A PDF in a directory of its own that goes with it.
class PdfFile {
  public:
    explicit PdfFile(std::string_view bytes) { std::ofstream(path(), std::ios::binary) << bytes; }
    PdfFile(const PdfFile&) = delete;
    PdfFile& operator=(const PdfFile&) = delete;

    std::string path() const { return file("tag.pdf"); }
    std::string file(const std::string& name) const { return (directory_ / name).string(); }

    // Text as poppler reads it, every kind of blank and line end as one blank.
    std::string text(const std::string& options = "") const {
        const auto raw = run("pdftotext " + options + " " + path() + " -");
        if (raw.exit_code != 0) throw std::runtime_error("pdftotext failed");
        std::string out;
        for (std::size_t i = 0; i < raw.out.size(); ++i) {
            const bool nbsp = raw.out.compare(i, 2, "\u00A0") == 0;
            if (nbsp) ++i;
            const char c = nbsp || raw.out[i] == '\n' || raw.out[i] == '\f' ? ' ' : raw.out[i];
            if (c != ' ' || (!out.empty() && out.back() != ' ')) out += c;
        }
        return out;
    }

  private:
    crimpgate::test::TempFolder directory_;
};

// One bit a dot, as a thermal head prints it.
class Raster {
  public:
    Raster(const PdfFile& pdf, int dpi) {
        const std::string base = pdf.file("dots");
        run("pdftoppm -mono -singlefile -r " + std::to_string(dpi) + " " + pdf.path() + " " + base);
        std::ifstream in(base + ".pbm", std::ios::binary);
        std::string magic;
        in >> magic >> width_ >> height_;
        if (magic != "P4") throw std::runtime_error("pdftoppm made no bitmap");
        in.get();
        row_bytes_ = (width_ + 7) / 8;
        bits_.resize(static_cast<std::size_t>(row_bytes_) * static_cast<std::size_t>(height_));
        in.read(reinterpret_cast<char*>(bits_.data()), static_cast<std::streamsize>(bits_.size()));
    }
    int width() const { return width_; }
    int height() const { return height_; }
    bool dark(int x, int y) const {
        if (x < 0 || y < 0 || x >= width_ || y >= height_) return false;
        return (bits_[static_cast<std::size_t>(y * row_bytes_ + x / 8)] >> (7 - x % 8) & 1) != 0;
    }
    // Dark dots in [x0, x1) x [y0, y1).
    int ink(int x0, int y0, int x1, int y1) const {
        int n = 0;
        for (int y = y0; y < y1; ++y)
            for (int x = x0; x < x1; ++x)
                n += dark(x, y) ? 1 : 0;
        return n;
    }

  private:
    int width_ = 0, height_ = 0, row_bytes_ = 0;
    std::vector<unsigned char> bits_;
};

// What a reader finds of one symbology in the 1-bit rendering, without its line end.
inline std::string trimmed(std::string s) {
    while (!s.empty() && (s.back() == '\n' || s.back() == '\r'))
        s.pop_back();
    return s;
}

inline std::string png(const PdfFile& pdf, int dpi) {
    run("pdftoppm -mono -png -singlefile -r " + std::to_string(dpi) + " " + pdf.path() + " " + pdf.file("dots"));
    return pdf.file("dots.png");
}

inline std::string zbar(const std::string& image, const std::string& symbology) {
    return trimmed(run("zbarimg -q --raw -Sdisable -S" + symbology + ".enable " + image).out);
}

// Without its shrunken second look, in which version 1.4 trips over an assertion of its own.
inline std::string zxing(const std::string& image, const std::string& format) {
    return trimmed(run("ZXingReader -noscale -bytes -format " + format + " " + image).out);
}

}  // namespace crimpgate::outside
