// Makes docs/rig-faults.md: lobewright_rig_faults > docs/rig-faults.md. Each trouble's own words go to standard error.
#include <cstdio>

#include "tests/faults/fault_study.hpp"

int main(int argc, char** argv) {
    using namespace lobewright::tests;
    std::vector<std::string> names(argv + 1, argv + argc);
    std::vector<FaultOutcome> outcomes;
    for (const FaultCase& fault : names.empty() ? fault_cases() : fault_cases(names)) {
        outcomes.push_back(try_fault(fault));
        std::fprintf(stderr, "== %s\n%s\n", fault.name.c_str(), outcomes.back().said.c_str());
    }
    std::fputs(fault_page(outcomes).c_str(), stdout);
    bool silent = false;
    for (const FaultOutcome& outcome : outcomes) silent = silent || outcome.silent();
    return silent ? 1 : 0;
}
