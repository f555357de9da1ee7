#include "analysis/regrind/profile_file.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>

#include <fmt/format.h>

#include "analysis/curve/periodic_spline.hpp"
#include "analysis/errors.hpp"
#include "analysis/lobe/lobe_view.hpp"
#include "analysis/run/file_bytes.hpp"
#include "analysis/run/message_text.hpp"
#include "analysis/toml_file.hpp"

namespace lobewright {
namespace {

constexpr std::size_t most_profile_bytes = 1U << 22U;  // 36000 rows and their head, with room
constexpr std::string_view columns = "angle_deg,lift";
constexpr std::size_t least_profile_rows = 12;
constexpr double widest_step_deg = 5.0;  // wider, and the flank between two rows is anybody's guess
constexpr double most_lift_mm = 100.0;

[[noreturn]] void fail(const std::filesystem::path& file, std::size_t line, const std::string& what) {
    throw DataError(fmt::format("{}: {}", place(file, line), what));
}

/// The head of one file, for messages that name it.
class Head {
public:
    Head(std::string_view text, const std::filesystem::path& file)
        : file_(file), table_(parse_toml(text, file)) {}

    void read(ProfileFile& out, double& mm_per_unit) {
        check_keys(table_, {"format", "units", "profile"}, "");
        const std::string format = text_at(table_, "format", "\"lobewright-profile/1\"");
        if (format != "lobewright-profile/1") {
            fail(*table_.get("format"),
                 fmt::format("format {} isn't known; this program knows \"lobewright-profile/1\"",
                             in_quotes(format)));
        }
        const std::string units = text_at(table_, "units", "\"mm\" or \"in\"");
        if (units != "mm" && units != "in") {
            fail(*table_.get("units"), fmt::format("units are \"mm\" or \"in\", not {}", in_quotes(units)));
        }
        mm_per_unit = mm_per(units == "in" ? Units::in : Units::mm);
        const toml::node* node = table_.get("profile");
        if (node == nullptr || !node->is_table()) {
            lobewright::fail(file_, 0, "the table [profile] is missing");
        }
        read_profile(*node->as_table(), out, mm_per_unit);
    }

private:
    void read_profile(const toml::table& profile, ProfileFile& out, double mm_per_unit) {
        check_keys(profile, {"name", "kind", "follower", "follower_radius", "taper", "width"}, "[profile] ");
        out.name = text_at(profile, "name", "a name");
        const std::string kind = text_at(profile, "kind", "intake, exhaust, other or any");
        for (const LobeKind known : {LobeKind::intake, LobeKind::exhaust, LobeKind::other}) {
            if (kind == word(known)) out.kind = known;
        }
        if (!out.kind && kind != "any") {
            fail(*profile.get("kind"),
                 fmt::format("kind is intake, exhaust, other or any, not {}", in_quotes(kind)));
        }
        const std::string follower = text_at(profile, "follower", "flat, flat-offset or roller");
        bool known_follower = false;
        for (const Follower known : {Follower::flat, Follower::flat_offset, Follower::roller}) {
            if (follower != word(known)) continue;
            out.follower = known;
            known_follower = true;
        }
        if (!known_follower) {
            fail(*profile.get("follower"),
                 fmt::format("follower is flat, flat-offset or roller, not {}", in_quotes(follower)));
        }
        out.follower_radius_mm = length_at(profile, "follower_radius", mm_per_unit);
        if (out.follower_radius_mm.has_value() != (out.follower == Follower::roller)) {
            fail(*profile.get("follower"), out.follower_radius_mm ? "follower_radius belongs to a roller"
                                                                  : "a roller needs its follower_radius");
        }
        const auto taper = length_at(profile, "taper", mm_per_unit);
        const auto width = length_at(profile, "width", mm_per_unit);
        if (taper.has_value() != width.has_value()) {
            fail(*profile.get(taper ? "taper" : "width"),
                 "taper and width go together: taper over that width");
        }
        if (taper) out.taper_per_mm = *taper / *width;
    }

    void check_keys(const toml::table& table, const std::vector<std::string_view>& known,
                    const std::string& where) {
        for (const auto& [key, node] : table) {
            if (std::find(known.begin(), known.end(), key.str()) != known.end()) continue;
            fail(node, fmt::format("{}key {} isn't known; known are {}{}", where, in_quotes(key.str()),
                                   joined(known), meant(key.str(), known)));
        }
    }

    std::string text_at(const toml::table& table, std::string_view key, std::string_view choices) {
        const toml::node* node = table.get(key);
        if (node == nullptr) {
            lobewright::fail(file_, 0, fmt::format("key '{}' is missing; it must be {}", key, choices));
        }
        if (!node->is_string() || node->as_string()->get().empty()) {
            fail(*node, fmt::format("key '{}' must be {}", key, choices));
        }
        return node->as_string()->get();
    }

    std::optional<double> length_at(const toml::table& table, std::string_view key, double mm_per_unit) {
        const toml::node* node = table.get(key);
        if (node == nullptr) return std::nullopt;
        const auto value = node->is_number() ? node->value<double>() : std::nullopt;
        if (!value || !std::isfinite(*value) || *value <= 0.0) {
            fail(*node, fmt::format("key '{}' must be a length above 0", key));
        }
        return *value * mm_per_unit;
    }

    [[noreturn]] void fail(const toml::node& node, const std::string& what) {
        lobewright::fail(file_, node.source().begin.line, what);
    }

    std::filesystem::path file_;
    toml::table table_;
};

double number(std::string_view cell, const std::filesystem::path& file, std::size_t line,
              std::string_view column) {
    const std::string_view text = trimmed(cell);
    double value = 0.0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc{} || end != text.data() + text.size() || !std::isfinite(value)) {
        fail(file, line, fmt::format("column {}: {} isn't a number", column, in_quotes(cell)));
    }
    return value;
}

/// One row into the profile.
void add_row(ProfileFile& out, std::string_view row, std::size_t line, double mm_per_unit) {
    const std::size_t comma = row.find(',');
    if (comma == std::string_view::npos || row.find(',', comma + 1) != std::string_view::npos) {
        fail(out.file, line, fmt::format("a row is {}, not {}", columns, in_quotes(row)));
    }
    const double angle = number(row.substr(0, comma), out.file, line, "angle_deg");
    const double lift = number(row.substr(comma + 1), out.file, line, "lift") * mm_per_unit;
    if (lift < 0.0 || lift > most_lift_mm) {
        fail(out.file, line, "a lift is from 0 up, above the base circle, and no more than 100 mm");
    }
    if (!out.angle_deg.empty()) {
        const double step = angle - out.angle_deg.back();
        if (!(step > 0.0)) fail(out.file, line, "angles must rise from row to row");
        if (step > widest_step_deg) {
            fail(out.file, line,
                 fmt::format("{:g} deg from the row before: rows may stand 5 deg apart at most", step));
        }
        if (!(angle - out.angle_deg.front() < 360.0)) fail(out.file, line, "the rows go past one turn");
    }
    out.angle_deg.push_back(angle);
    out.lift_mm.push_back(lift);
}

void check_rows(const ProfileFile& out, std::size_t last_line) {
    if (out.angle_deg.size() < least_profile_rows) {
        fail(out.file, last_line,
             fmt::format("{} rows can't carry a profile; give at least {}", out.angle_deg.size(),
                         least_profile_rows));
    }
    const bool whole_turn = out.angle_deg.front() + 360.0 - out.angle_deg.back() <= widest_step_deg;
    constexpr double heel_mm = 0.001;
    if (!whole_turn && (out.lift_mm.front() > heel_mm || out.lift_mm.back() > heel_mm)) {
        fail(out.file, last_line,
             "the rows must go round the turn, or begin and end on the heel with lift 0");
    }
}

}  // namespace

ProfileFile read_profile_file(const std::filesystem::path& file) {
    std::string text;
    read_file(file, text, most_profile_bytes);
    ProfileFile out;
    out.file = file;
    std::string_view rest = text;
    std::string head;
    std::size_t line = 0;
    double mm_per_unit = 1.0;
    bool in_rows = false;
    while (!rest.empty()) {
        ++line;
        const std::size_t end = rest.find('\n');
        const std::string_view whole = rest.substr(0, end);
        std::string_view row = trimmed(whole.ends_with('\r') ? whole.substr(0, whole.size() - 1) : whole);
        rest = end == std::string_view::npos ? std::string_view{} : rest.substr(end + 1);
        if (!in_rows && row == columns) {
            Head(head, file).read(out, mm_per_unit);
            in_rows = true;
        } else if (!in_rows) {
            (head += whole) += '\n';
        } else if (!row.empty() && row.front() != '#') {
            add_row(out, row, line, mm_per_unit);
        }
    }
    if (!in_rows) {
        Head(head, file).read(out, mm_per_unit);
        fail(file, line,
             fmt::format("no rows: after the head comes the line {} and then a row for each angle", columns));
    }
    check_rows(out, line);
    return out;
}

std::vector<double> lift_on_grid(const ProfileFile& profile) {
    // Through the rows: a bend this stiff leaves them by some nanometres, and finer rows than the grid are averaged.
    constexpr double stiffness = 1e-9;
    SplineSystem system(grid_points, 1);
    const auto add = [&](double angle_deg, double lift_mm) {
        system.add(spline_site(rad_from_deg(angle_deg), grid_points), 1.0, std::array{lift_mm});
    };
    for (std::size_t i = 0; i < profile.angle_deg.size(); ++i) add(profile.angle_deg[i], profile.lift_mm[i]);
    const double last = profile.angle_deg.back(), left = profile.angle_deg.front() + 360.0 - last;
    for (int i = 1; i < left - 0.5; ++i) add(last + i, 0.0);
    const PeriodicSpline spline = SplineSolver(system, stiffness).fit(system, 0);
    const std::vector<double> as_given = on_grid(spline);
    const double middle = lobe_landmarks(profile.file.string(), as_given).half.middle();
    return on_grid(spline, rad_from_deg(deg_of_grid(middle)));
}

}  // namespace lobewright
