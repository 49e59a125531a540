#include "reports/audit_chart_marks.h"

#include <algorithm>
#include <charconv>
#include <cmath>

namespace crimpgate {

namespace {

void shape(PaperWriter& writer, std::vector<PaperPoint> points, double shade = 0) {
    PaperPath path;
    path.points = std::move(points);
    path.filled = true;
    path.shade = shade;
    writer.page().paths.push_back(std::move(path));
}

}  // namespace

void put_point(PaperWriter& writer, double x, double y) {
    constexpr double r = 0.34;  // an octagon looks round at this size
    std::vector<PaperPoint> points;
    for (int i = 0; i < 8; ++i)
        points.push_back({x + r * std::cos((i + 0.5) * 0.785398), y + r * std::sin((i + 0.5) * 0.785398)});
    shape(writer, std::move(points), 0.25);
}

void put_signal(PaperWriter& writer, std::size_t which, double x, double y) {
    constexpr double r = 0.95;
    switch (which % 4) {
        case 0:
            return shape(writer, {{x, y - r}, {x + r, y}, {x, y + r}, {x - r, y}});
        case 1:
            return shape(writer, {{x - 0.7, y - 0.7}, {x + 0.7, y - 0.7}, {x + 0.7, y + 0.7}, {x - 0.7, y + 0.7}});
        case 2:
            return shape(writer, {{x, y - r}, {x + r, y + 0.8}, {x - r, y + 0.8}});
        default:
            return shape(writer, {{x, y + r}, {x + r, y - 0.8}, {x - r, y - 0.8}});
    }
}

void put_left_out(PaperWriter& writer, double x, double y) {
    constexpr double r = 0.9;
    writer.line(x - r, y - r, x + r, y + r, 0.2);
    writer.line(x - r, y + r, x + r, y - r, 0.2);
}

void put_line_labels(PaperWriter& writer, std::vector<LineLabel> labels, double x, double top, double bottom,
                     double size) {
    std::stable_sort(labels.begin(), labels.end(), [](const auto& a, const auto& b) { return a.y < b.y; });
    const double step = line_step * size;
    double free = top;
    for (auto& label : labels) {
        label.y = std::max(label.y, free + step / 2);
        free = label.y + step / 2;
    }
    double limit = bottom;
    for (auto label = labels.rbegin(); label != labels.rend(); ++label) {
        label->y = std::min(label->y, limit - step / 2);
        limit = label->y - step / 2;
    }
    for (const auto& label : labels)
        writer.put(label.text, Weight::regular, x, label.y + size * 0.36, size);
}

std::optional<double> place_of(std::string_view figure) {
    double out = 0;
    if (figure.starts_with('+')) figure.remove_prefix(1);
    const auto [end, ec] = std::from_chars(figure.data(), figure.data() + figure.size(), out);
    if (ec != std::errc{} || end != figure.data() + figure.size() || !std::isfinite(out)) return std::nullopt;
    return out;
}

}  // namespace crimpgate
