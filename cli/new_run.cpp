#include "cli/new_run.hpp"

#include <algorithm>
#include <array>
#include <chrono>
#include <ctime>
#include <iostream>
#include <map>
#include <unistd.h>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "analysis/errors.hpp"
#include "analysis/run/message_text.hpp"
#include "analysis/run/run_folder.hpp"
#include "analysis/run/run_toml.hpp"
#include "cli/output.hpp"

namespace lobewright {
namespace {

/// A key that may have to be asked for.
struct Question {
    std::string_view key;
    std::string_view asks;
    std::string_view suggests;  // what Enter alone means; empty: it must be answered
};

constexpr std::array<Question, 7> questions{
    {{"units", "Lengths in mm or in?", "mm"},
     {"run.condition", "Condition: new, before or after a run-in, used?", ""},
     {"cam.follower", "Follower: flat, flat-offset or roller?", ""},
     {"cam.retention", "What holds the cam endwise: thrust-plate, none or button?", ""},
     {"rig.tip", "The indicators' tips: flat, roller or point?", ""},
     {"rig.front_z", "Where does the front tip stand, from the lobe's middle (front is minus)?", ""},
     {"rig.rear_z", "And the rear tip?", ""}}};

/// Keys whose value is text; the rest are numbers and a date.
constexpr std::array text_keys{"units",        "run.id",   "run.condition", "run.operator",
                               "run.note",     "cam.part", "cam.follower",  "cam.retention",
                               "cam.material", "rig.tip",  "datum.method"};

using Settings = std::map<std::string, std::string>;

bool has_text(const std::string& key) {
    return std::find(text_keys.begin(), text_keys.end(), key) != text_keys.end();
}

std::string in_toml(const std::string& key, const std::string& value) {
    if (!has_text(key)) return value;
    std::string text = "\"";
    for (const char c : one_line(value)) {
        if (c == '"' || c == '\\') text += '\\';
        text += c;
    }
    return text + '"';
}

std::vector<std::string> parts_of(const std::string& text) {
    std::vector<std::string> parts{""};
    for (const char c : text) {
        if (c == ',')
            parts.emplace_back();
        else
            parts.back() += c;
    }
    for (std::string& part : parts) part = std::string(trimmed(part));
    return parts;
}

/// "1E,exhaust,30,12" as a table of run.toml.
std::string lobe_toml(const std::string& text) {
    const auto parts = parts_of(text);
    if (parts.size() != 4)
        throw UsageError(
            fmt::format("--lobe {}: NAME,KIND,Z,WIDTH is wanted, as in 1E,exhaust,30,12", in_quotes(text)));
    return fmt::format("[[lobe]]\nname = {}\nkind = {}\nz = {}\nwidth = {}\n", in_toml("run.id", parts[0]),
                       in_toml("run.id", parts[1]), parts[2], parts[3]);
}

std::string journal_toml(const std::string& text) {
    const auto parts = parts_of(text);
    if (parts.size() < 2 || parts.size() > 4)
        throw UsageError(fmt::format(
            "--journal {}: NAME,Z is wanted, or NAME,Z,DIAMETER,V_ANGLE, as in J1,10", in_quotes(text)));
    std::string toml = fmt::format("[[journal]]\nname = {}\nz = {}\n", in_toml("run.id", parts[0]), parts[1]);
    if (parts.size() > 2) toml += fmt::format("diameter = {}\n", parts[2]);
    if (parts.size() > 3) toml += fmt::format("v_angle_deg = {}\n", parts[3]);
    return toml;
}

Settings settings_of(const std::vector<std::string>& texts) {
    Settings settings;
    for (const std::string& text : texts) {
        const std::size_t equals = text.find('=');
        if (equals == std::string::npos || equals == 0)
            throw UsageError(
                fmt::format("--set {}: KEY=VALUE is wanted, as in cam.follower=flat", in_quotes(text)));
        settings[text.substr(0, equals)] = text.substr(equals + 1);
    }
    return settings;
}

/// The settings as run.toml; `tail` are tables of lists.
std::string toml_of(const Settings& settings, const std::string& tail) {
    std::string toml = "format = \"lobewright-run/1\"\n";
    std::map<std::string, std::string> tables;
    for (const auto& [key, value] : settings) {
        const std::size_t point = key.find('.');
        if (point == std::string::npos)
            toml += fmt::format("{} = {}\n", key, in_toml(key, value));
        else
            tables[key.substr(0, point)] +=
                fmt::format("{} = {}\n", key.substr(point + 1), in_toml(key, value));
    }
    for (const auto& [table, lines] : tables) toml += fmt::format("[{}]\n{}", table, lines);
    return toml + tail;
}

bool can_ask() {
    return ::isatty(STDIN_FILENO) == 1 && ::isatty(STDOUT_FILENO) == 1;
}

std::string ask(std::string_view what, std::string_view suggests) {
    for (;;) {
        write_stdout(suggests.empty() ? fmt::format("{} ", what) : fmt::format("{} [{}] ", what, suggests));
        std::string answer;
        if (!std::getline(std::cin, answer))
            throw UsageError("the questions for the new run were left unanswered");
        answer = std::string(trimmed(answer));
        if (!answer.empty()) return answer;
        if (!suggests.empty()) return std::string(suggests);
    }
}

/// Lobes or journals, a line each until an empty one.
std::vector<std::string> ask_list(std::string_view what, bool at_least_one) {
    std::vector<std::string> lines;
    write_stdout(fmt::format("{}\nAn empty line ends the list.\n", what));
    for (;;) {
        write_stdout(fmt::format("{}: ", lines.size() + 1));
        std::string line;
        if (!std::getline(std::cin, line))
            throw UsageError("the questions for the new run were left unanswered");
        if (!trimmed(line).empty())
            lines.push_back(line);
        else if (!lines.empty() || !at_least_one)
            return lines;
    }
}

/// What the run lacks, asked for or complained of.
void fill(Settings& settings, NewRunOptions& options) {
    std::vector<std::string_view> missing;
    for (const Question& question : questions)
        if (!settings.contains(std::string(question.key))) missing.push_back(question.key);
    if (settings.contains("rig.tip") && settings["rig.tip"] == "roller" &&
        !settings.contains("rig.tip_radius"))
        missing.push_back("rig.tip_radius");
    const bool lobes = options.lobes.empty();
    const bool only_units = missing == std::vector<std::string_view>{"units"};
    if (!lobes && (missing.empty() || only_units || !can_ask())) {
        std::erase(missing, "units");
        settings.try_emplace("units", "mm");
        if (missing.empty()) return;
    }
    if (!can_ask()) {
        std::erase(missing, "units");
        throw UsageError(fmt::format("the new run needs {}{}{} (see lobewright sweep --help)",
                                     missing.empty() ? "" : fmt::format("--set of {}", joined(missing)),
                                     missing.empty() || !lobes ? "" : ", and ",
                                     lobes ? "--lobe NAME,KIND,Z,WIDTH" : ""));
    }
    write_stdout("A new run. Its run.toml can be mended with any editor afterwards.\n");
    for (const Question& question : questions)
        if (!settings.contains(std::string(question.key)))
            settings[std::string(question.key)] = ask(question.asks, question.suggests);
    if (settings["rig.tip"] == "roller" && !settings.contains("rig.tip_radius"))
        settings["rig.tip_radius"] = ask("Radius of the roller tips?", "");
    if (settings["cam.follower"] == "roller" && !settings.contains("cam.follower_radius"))
        settings["cam.follower_radius"] = ask("Radius of the follower's roller?", "");
    if (lobes)
        options.lobes = ask_list(
            "The lobes, as NAME,KIND,Z,WIDTH (1E,exhaust,30,12); KIND is intake, exhaust or other,\n"
            "Z the distance of its middle from the cam's front face.",
            true);
    if (options.journals.empty())
        options.journals = ask_list("The journals to sweep, if any, as NAME,Z (J1,10).", false);
}

/// The run of another occasion, made ready for this one.
Run like_run(const std::filesystem::path& folder, const NewRunOptions& options) {
    Run run = read_run(options.like);
    run.sweeps.clear();
    const std::string condition = [&] {
        for (const std::string& text : options.settings)
            if (text.starts_with("run.condition="))
                return text.substr(std::string_view("run.condition=").size());
        if (!can_ask())
            throw UsageError("a run like another needs --set run.condition=new, before, after or used");
        return ask("Condition: new, before or after a run-in, used?", "");
    }();
    const std::vector<Condition> known{Condition::as_new, Condition::before, Condition::after,
                                       Condition::used};
    const auto found =
        std::find_if(known.begin(), known.end(), [&](Condition c) { return word(c) == condition; });
    if (found == known.end())
        throw UsageError(
            fmt::format("run.condition: {} isn't new, before, after or used", in_quotes(condition)));
    for (const std::string& text : options.settings)
        if (!text.starts_with("run.condition=") && !text.starts_with("run.id="))
            throw UsageError(fmt::format(
                "--set {}: with --like only run.id and run.condition can be set; mend run.toml for the rest",
                in_quotes(text)));
    if (!options.lobes.empty() || !options.journals.empty())
        throw UsageError("--lobe and --journal don't go with --like: the lobes are that run's");
    run.info = RunInfo{};
    run.info.id = folder.filename().string();
    for (const std::string& text : options.settings)
        if (text.starts_with("run.id=")) run.info.id = text.substr(std::string_view("run.id=").size());
    run.info.condition = *found;
    run.info.taken = time_now();
    run.folder = folder;
    // Stripes are what the eye saw on that occasion, base diameters what the micrometer read.
    for (Lobe& lobe : run.lobes) lobe.stripes.clear();
    return run;
}

}  // namespace

std::string time_now() {
    const std::time_t now = std::chrono::system_clock::to_time_t(std::chrono::system_clock::now());
    std::tm utc{};
    ::gmtime_r(&now, &utc);
    return fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}Z", utc.tm_year + 1900, utc.tm_mon + 1,
                       utc.tm_mday, utc.tm_hour, utc.tm_min, utc.tm_sec);
}

Run new_run(const std::filesystem::path& folder, const NewRunOptions& given) {
    // "runs/a/" and "runs/a" are one folder.
    const std::filesystem::path named = folder.has_filename() ? folder : folder.parent_path();
    if (!given.like.empty()) return like_run(named, given);
    NewRunOptions options = given;
    Settings settings = settings_of(options.settings);
    fill(settings, options);
    settings.try_emplace("run.id", named.filename().string());
    settings.try_emplace("run.taken", time_now());
    std::string lists;
    for (const std::string& journal : options.journals) lists += journal_toml(journal);
    for (const std::string& lobe : options.lobes) lists += lobe_toml(lobe);
    try {
        Run run = parse_run_toml(toml_of(settings, lists), "the new run");
        run.folder = named;
        return run;
    } catch (const DataError& problem) {
        throw UsageError(problem.what());
    }
}

}  // namespace lobewright
