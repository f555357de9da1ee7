// Wall clocks that jump, and a locale that writes its decimals with a comma.
#include <cstdlib>
#include <map>
#include <sstream>

#include "tests/faults/program_faults.hpp"

namespace lobewright::tests {
namespace {

constexpr auto locale_name = "de_DE.UTF-8";
const std::string put_before = LOBEWRIGHT_PUT_BEFORE;

/// Made once for this process; empty where the system can't.
const std::string& locale_folder() {
    static const TempFolder folder;
    static const std::string found = [] {
        const std::string make =
            "localedef -i de_DE -f UTF-8 '" + (folder / locale_name) + "' >/dev/null 2>&1";
        static_cast<void>(std::system(make.c_str()));  // it warns of much, and its status tells of that
        const std::string holds = std::string("LC_ALL=") + locale_name + " LOCPATH='" +
                                  folder.path().string() + "' locale decimal_point 2>/dev/null | grep -qx ,";
        return std::system(holds.c_str()) == 0 ? folder.path().string() : std::string();
    }();
    return found;
}

/// As that locale has it and as C has it: the same bytes, on standard output and in what was written.
ProgramFault in_locale(std::vector<std::string> words, int status, const std::string& left = "as before") {
    ProgramFault fault{.done = "a locale with a decimal comma",
                       .call = {.words = std::move(words)},
                       .status = status,
                       .says = "",
                       .left = left,
                       .prepare = [](Scene& scene) {
                           if (locale_folder().empty()) scene.skipped = "localedef makes no such locale here";
                       }};
    if (!locale_folder().empty())
        fault.call.environment = {"LC_ALL=" + std::string(locale_name), "LOCPATH=" + locale_folder()};
    fault.wrong = [call = fault.call](Scene& scene, const Ended& ended) -> std::string {
        const auto files = [&] {
            std::map<std::string, std::string> found;
            for (const auto& entry : std::filesystem::recursive_directory_iterator(scene.folder.path()))
                if (entry.is_regular_file()) found[entry.path().string()] = text_of(entry.path());
            return found;
        };
        const auto with_comma = files();
        Conditions plain = call;
        plain.environment = {"LC_ALL=C"};
        const bool writes = with_comma.size() > 6;  // the two runs have six files
        if (writes) plain.words.push_back("--overwrite");
        const Ended again = call_program(plain, scene.folder.path());
        if (again.out != ended.out || again.status != ended.status) return "says something else";
        return files() == with_comma ? "" : "writes something else";
    };
    return fault;
}

std::string wrong_time(Scene& scene, const Ended& ended) {
    if (has(ended.out, "! ")) return "names a trouble: " + ended.out;
    if (!has(text_of(scene.folder / "run/run.toml"), "taken     = 2001-09-") &&
        !has(text_of(scene.folder / "run/run.toml"), "taken = 2001-09-"))
        return "the clock wasn't put before the program's";
    std::istringstream rows(text_of(scene.folder / "run/sweeps/1E-1.csv"));
    long long before_us = -1, longest_us = 0, count = 0;
    for (std::string row; std::getline(rows, row);) {
        if (row.empty() || row.find_first_not_of("0123456789,.-") != std::string::npos) continue;
        const long long us = std::stoll(row);
        if (us < before_us) return "time runs back in the sweep";
        if (before_us >= 0) longest_us = std::max(longest_us, us - before_us);
        before_us = us;
        ++count;
    }
    return count > 1000 && longest_us < 1000000 ? "" : "time jumps in the sweep";
}

ProgramFault jumping() {
    ProgramFault fault{.done = "the wall clock a day off to and fro at each look",
                       .call = {.words = sweep_words(), .in = "BESIDE/enter"},
                       .status = 0,
                       .says = "",
                       .left = "run new"};
    fault.call.environment = {"LD_PRELOAD=" + put_before};
    fault.prepare = [](Scene& scene) {
        if (sanitized) {
            scene.skipped = "nothing can be put before a sanitizer";
            return;
        }
        ::setenv("LD_PRELOAD", put_before.c_str(), 1);
        prepare_rig(scene);
        ::unsetenv("LD_PRELOAD");
    };
    fault.wrong = wrong_time;
    return fault;
}

}  // namespace

std::vector<FaultGroup> faults_of_time_and_place() {
    return {
        {"Clock jumps", {jumping()}},
        {"Decimal comma",
         {in_locale({"compare", "new", "used"}, 1), in_locale({"compare", "new", "used", "--json"}, 1),
          in_locale({"compare", "new", "used", "--lobe", "1I"}, 1),
          in_locale({"compare", "new", "used", "--csv", "curves"}, 1, "curves new"),
          in_locale({"budget", "used", "--against", "new"}, 0), in_locale({"card", "new", "--json"}, 0),
          in_locale({"report", "used", "--to", "page.html", "--figures", "svg"}, 0, "page.html new, svg new"),
          in_locale({"regrind", "used", "--target", "new"}, 1),
          in_locale({"inspect", "used", "--lobe", "none"}, 64)}}};
}

}  // namespace lobewright::tests
