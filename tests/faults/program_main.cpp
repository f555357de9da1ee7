// Makes docs/program-faults.md: lobewright_program_faults > docs/program-faults.md. A group's name tries that one alone. What
// is wrong, or couldn't be tried, goes to standard error.
#include <algorithm>
#include <cstdio>

#include <fmt/format.h>

#include "tests/faults/program_faults.hpp"

namespace {

constexpr auto head = R"(# What becomes of the program's troubles

Made by `lobewright_program_faults`; the tests make each row again and hold it against this page. Each trouble is made by the
system itself, around the shipped program, in a folder with two small runs, `new` and `used`.

- *ends with*: the exit status (README), or the signal that ended it, as a shell has it for any program
- *says*: the first line on standard error
- *left*: what changed in the folder. That no unfinished file stays, that a page or chart is whole, and that a study's lines
  are whole is looked at each time, and that nothing said holds a control character or broken UTF-8
)";

}  // namespace

int main(int argc, char** argv) {
    using namespace lobewright::tests;
    const std::vector<std::string> names(argv + 1, argv + argc);
    std::string page = head;
    bool wrong = false;
    for (const FaultGroup& group : program_faults()) {
        if (!names.empty() && std::find(names.begin(), names.end(), group.name) == names.end()) continue;
        page += fmt::format(
            "\n## {}\n\n| trouble | `lobewright ...` | ends with | says | left |\n"
            "| --- | --- | --- | --- | --- |\n",
            group.name);
        for (const ProgramFault& fault : group.faults) {
            const FaultRow row = try_program_fault(fault);
            const bool as_due = row.wrong.empty() && row.skipped.empty();
            if (!as_due) fmt::print(stderr, "{}: {}{}\n{}\n", fault.done, row.wrong, row.skipped, row.row);
            if (row.skipped.empty()) page += row.row + "\n";
            wrong = wrong || !as_due;
        }
    }
    std::fputs(page.c_str(), stdout);
    return wrong ? 1 : 0;
}
