#include "cli/present_sweep.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>

#include <fmt/format.h>

#include "cli/big_figures.hpp"
#include "cli/text_table.hpp"
#include "rig/acquisition/sweep_trouble.hpp"

namespace lobewright {
namespace {

constexpr std::size_t least_lines = 22;  // below it the big figures would push out the troubles
constexpr std::size_t indent = 2;

std::string cut(const std::string& text, std::size_t columns) {
    std::size_t width = 0;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if ((static_cast<unsigned char>(text[i]) & 0xC0U) == 0x80U) continue;
        if (width == columns) return text.substr(0, i);
        ++width;
    }
    return text;
}

std::string padded(std::string text, std::size_t columns) {
    const std::size_t width = width_of(text);
    if (width < columns) text.append(columns - width, ' ');
    return text;
}

std::string angle_text(const SweepView& view) {
    return view.angle_deg
               ? fmt::format("{:.1f}",
                             std::fmod(std::round(in_turn_deg(*view.angle_deg) * 10.0) / 10.0, 360.0))
               : "?";
}

std::string head(const SweepView& view) {
    return fmt::format("{} {}, pass {}   {} of {}   {}{}", view.journal ? "journal" : "lobe", view.of,
                       view.pass, view.ordinal, view.places, view.port, view.away ? "  NOT THERE" : "");
}

std::string speed_text(const SweepView& view) {
    std::string text = fmt::format("{:.0f} deg/s", view.speed_deg_per_s);
    if (view.most_deg_per_s) text += fmt::format(", at most {:.0f}", *view.most_deg_per_s);
    return text;
}

std::string drift_text(const SweepView& view) {
    if (!view.front_drift_mm && !view.rear_drift_mm) return "drift not known yet";
    const auto one = [&](const std::optional<double>& mm) {
        return mm ? fmt::format("{:+.{}f}", *mm / mm_per(view.units), view.units == Units::in ? 5 : 4) : "?";
    };
    return fmt::format("drift {} front, {} rear", one(view.front_drift_mm), one(view.rear_drift_mm));
}

std::string angle_kind(const SweepView& view) {
    if (!view.angle_deg) return view.stage == BenchStage::sweep ? "turn to the index mark" : "";
    if (!view.true_angles) return "since begun, no index yet";
    return "cam degrees";
}

/// Two figures side by side, each with its name above.
void add_readings(std::vector<std::string>& lines, const SweepView& view, std::size_t columns, bool blocks) {
    const std::string front = reading_text(view.front_mm, view.units),
                      rear = reading_text(view.rear_mm, view.units);
    const std::size_t half = columns / 2;
    const bool wide = std::max(big_width(front, true), big_width(rear, true)) + indent <= half;
    const auto front_lines = big_figures(front, wide, blocks), rear_lines = big_figures(rear, wide, blocks);
    const std::string unit = view.units == Units::in ? "in" : "mm";
    lines.push_back(padded("  front, " + unit, half) + "  rear, " + unit);
    for (std::size_t i = 0; i < big_lines; ++i)
        lines.push_back(padded("  " + front_lines[i], half) + "  " + rear_lines[i]);
}

/// Degrees under the bar, and where the cam stands.
std::string turn_scale(const std::optional<double>& angle_deg, std::size_t cells) {
    std::string scale(cells, ' ');
    for (const int deg : {0, 90, 180, 270}) {
        const std::string text = fmt::format("{}", deg);
        const std::size_t at = static_cast<std::size_t>(deg) * cells / 360;
        if (at + text.size() <= cells) scale.replace(at, text.size(), text);
    }
    if (angle_deg) {
        const auto at =
            static_cast<std::size_t>(in_turn_deg(*angle_deg) / 360.0 * static_cast<double>(cells));
        scale[std::min(at, cells - 1)] = '^';
    }
    return scale;
}

/// The angle in big, and beside it what goes with it.
void add_angle(std::vector<std::string>& lines, const SweepView& view, bool blocks) {
    const auto big = big_figures(angle_text(view), true, blocks);
    const std::size_t beside_at = big_width("000.0", true) + 3 * indent;
    const std::vector<std::string> beside{
        angle_kind(view), speed_text(view), drift_text(view),
        view.to_index_deg ? fmt::format("index mark in {:.0f} deg", *view.to_index_deg) : "",
        view.motor ? "MOTOR TURNS: any key halts it" : ""};
    for (std::size_t i = 0; i < big_lines; ++i) lines.push_back(padded("  " + big[i], beside_at) + beside[i]);
}

std::string trouble_line(const ShownTrouble& trouble) {
    if (trouble.put_right) return fmt::format("- {} (put right)", trouble.says);
    return trouble.advice.empty() ? fmt::format("! {}", trouble.says)
                                  : fmt::format("! {}: {}", trouble.says, trouble.advice);
}

/// Words that don't fit go on below, further in.
std::vector<std::string> wrapped(const std::string& text, std::size_t columns, std::size_t further) {
    std::vector<std::string> lines;
    std::string line(indent, ' ');
    std::size_t begin = indent;  // of the line's words
    for (std::size_t from = 0; from < text.size();) {
        const std::size_t end = std::min(text.find(' ', from), text.size());
        const std::string word = text.substr(from, end - from);
        if (width_of(line) + 1 + width_of(word) > columns && width_of(line) > begin) {
            lines.push_back(line);
            begin = indent + further;
            line = std::string(begin, ' ');
        }
        line += (width_of(line) > begin ? " " : "") + word;
        from = end + 1;
    }
    lines.push_back(line);
    return lines;
}

/// The latest troubles that fit, open ones before those put right.
std::vector<std::string> trouble_lines(const SweepView& view, std::size_t columns, std::size_t most) {
    std::vector<ShownTrouble> shown;
    for (const bool put_right : {false, true}) {
        std::copy_if(view.troubles.rbegin(), view.troubles.rend(), std::back_inserter(shown),
                     [put_right](const ShownTrouble& trouble) { return trouble.put_right == put_right; });
    }
    std::vector<std::string> lines;
    for (std::size_t i = 0; i < shown.size(); ++i) {
        const auto more = wrapped(trouble_line(shown[i]), columns, indent);
        const std::size_t for_the_rest = i + 1 < shown.size() ? 1 : 0;
        if (lines.size() + more.size() + for_the_rest > most) {
            if (most > lines.size()) lines.push_back(fmt::format("  and {} more", shown.size() - i));
            break;
        }
        lines.insert(lines.end(), more.begin(), more.end());
    }
    return lines;
}

std::vector<std::string> said_lines(const SweepView& view, std::size_t columns) {
    std::vector<std::string> lines;
    for (const std::string& text : view.says) {
        const auto more = wrapped(text, columns, 0);
        lines.insert(lines.end(), more.begin(), more.end());
    }
    return lines;
}

}  // namespace

std::string reading_text(const std::optional<double>& mm, Units units) {
    if (!mm) return "?";
    const int decimals = units == Units::in ? 4 : 3;
    const std::string text = fmt::format("{:.{}f}", *mm / mm_per(units), decimals);
    const bool is_zero = text.find_first_of("123456789") == std::string::npos;
    return is_zero && text.front() == '-' ? text.substr(1) : text;
}

std::string turn_bar(const std::vector<Stretch>& missing, std::size_t cells, bool blocks) {
    std::string bar;
    const double cell_deg = 360.0 / static_cast<double>(cells);
    for (std::size_t cell = 0; cell < cells; ++cell) {
        const double from = static_cast<double>(cell) * cell_deg, to = from + cell_deg;
        double open = 0.0;
        for (const Stretch& gap : missing)
            for (const double turn : {-360.0, 0.0})
                open += std::max(0.0, std::min(to, gap.to_deg + turn) - std::max(from, gap.from_deg + turn));
        const bool none = open > cell_deg - 1e-6, some = open > 1e-6;
        bar += none   ? (blocks ? "\u00b7" : ".")
               : some ? (blocks ? "\u2592" : "-")
                      : (blocks ? "\u2588" : "#");
    }
    return bar;
}

std::string missing_words(const std::vector<Stretch>& missing, std::size_t columns) {
    if (missing.empty()) return "nothing";
    std::string text;
    for (std::size_t i = 0; i < missing.size(); ++i) {
        const bool all = missing[i].to_deg - missing[i].from_deg >= 360.0;
        const std::string one =
            all ? "the whole turn" : stretch_words(missing[i].from_deg, missing[i].to_deg);
        const std::string rest =
            i + 1 < missing.size() ? fmt::format(" and {} more", missing.size() - i - 1) : "";
        if (text.size() + 2 + one.size() + rest.size() > columns)
            return text.empty() ? fmt::format("{} stretch{}", missing.size(), missing.size() == 1 ? "" : "es")
                                : text + fmt::format(" and {} more", missing.size() - i);
        text += (text.empty() ? "" : ", ") + one;
    }
    return text;
}

std::string present_sweep_line(const SweepView& view, std::size_t columns) {
    const std::string angle =
        view.angle_deg ? angle_text(view) + (view.true_angles ? " deg" : " deg so far") : "? deg";
    std::string line = fmt::format("{} {}  front {} rear {}  {:.0f} deg/s", view.of, angle,
                                   reading_text(view.front_mm, view.units),
                                   reading_text(view.rear_mm, view.units), view.speed_deg_per_s);
    if (view.most_deg_per_s && view.speed_deg_per_s > *view.most_deg_per_s)
        line += fmt::format(", max {:.0f}", *view.most_deg_per_s);
    if (view.away) line += "  RIG AWAY";
    const std::string missing = view.missing.empty() ? "  turn whole" : "  missing ";
    const std::size_t left =
        columns > line.size() + missing.size() ? columns - line.size() - missing.size() : 0;
    constexpr std::size_t least = 12;  // "2 stretches" and a blank
    if (view.missing.empty() || left >= least) line += missing;
    if (!view.missing.empty() && left >= least) line += missing_words(view.missing, left);
    return cut(line, columns);
}

std::vector<std::string> present_sweep_screen(const SweepView& view, ScreenSize size,
                                              const ScreenStyle& style) {
    const std::size_t columns = size.columns;
    std::vector<std::string> lines{"  " + head(view), ""};
    const bool big = columns >= screen_width && size.lines >= least_lines;
    if (big && view.stage != BenchStage::place) {
        add_angle(lines, view, style.blocks);
        lines.emplace_back();
        add_readings(lines, view, columns, style.blocks);
    } else if (big) {
        add_readings(lines, view, columns, style.blocks);
    } else {
        lines.push_back("  " + present_sweep_line(view, columns - std::min(columns, indent)));
        lines.push_back("  " + speed_text(view) + ", " + drift_text(view));
    }
    lines.emplace_back();
    if (view.stage != BenchStage::place) {
        const std::size_t cells = std::min<std::size_t>(columns > 2 * indent ? columns - 2 * indent : 1, 72);
        lines.push_back("  " + turn_bar(view.missing, cells, style.blocks));
        if (big) lines.push_back("  " + turn_scale(view.angle_deg, cells));
        lines.push_back("  missing: " +
                        missing_words(view.missing, columns - std::min<std::size_t>(columns, 12)));
    }
    const std::vector<std::string> said = said_lines(view, columns);
    // Where there is much to say the air between the figures goes first.
    constexpr std::size_t for_troubles = 4;  // two, with what to do about them
    const std::size_t wanted = said.size() + trouble_lines(view, columns, for_troubles).size() + 2;
    for (auto line = lines.begin(); line != lines.end() && lines.size() + wanted > size.lines;)
        line = line->empty() ? lines.erase(line) : line + 1;
    lines.insert(lines.end(), said.begin(), said.end());
    const std::size_t room = size.lines > lines.size() + 2 ? size.lines - lines.size() - 2 : 0;
    bool open = false;
    for (const std::string& line : trouble_lines(view, columns, room)) {
        open = line[indent] == '!' ||
               (open && line[indent] == ' ');  // what goes on belongs to what it goes on from
        lines.push_back(toned(cut(line, columns), open ? Tone::bad : Tone::plain, style.colour));
    }
    if (lines.size() + 1 > size.lines) lines.resize(size.lines - std::min<std::size_t>(size.lines, 1));
    while (lines.size() + 1 < size.lines) lines.emplace_back();
    lines.push_back("  " + view.keys);
    for (std::string& line : lines)
        if (!style.colour || line.find('\x1b') == std::string::npos) line = cut(line, columns);
    return lines;
}

}  // namespace lobewright
