#include "analysis/repeat/split_passes.hpp"

#include <algorithm>
#include <set>

namespace lobewright {
namespace {

/// The run with the sweeps that `keep` says, and the lobes that still have one.
template <class Keep>
Run with_sweeps(const Run& run, const Keep& keep) {
    Run out = run;
    std::erase_if(out.sweeps, [&](const Sweep& s) { return has_lobe(run, s.of) && !keep(s); });
    std::erase_if(out.lobes, [&](const Lobe& l) {
        return std::none_of(out.sweeps.begin(), out.sweeps.end(),
                            [&](const Sweep& s) { return s.of == l.name; });
    });
    return out;
}

}  // namespace

bool has_lobe(const Run& run, const std::string& name) {
    return std::any_of(run.lobes.begin(), run.lobes.end(), [&](const Lobe& l) { return l.name == name; });
}

std::vector<Run> split_passes(const Run& run) {
    std::set<int> passes;
    for (const Sweep& sweep : run.sweeps) {
        if (has_lobe(run, sweep.of)) passes.insert(sweep.pass);
    }
    std::vector<Run> out;
    out.reserve(passes.size());
    for (const int pass : passes) {
        out.push_back(with_sweeps(run, [pass](const Sweep& s) { return s.pass == pass; }));
    }
    return out;
}

Run only_lobe(const Run& run, const std::string& lobe) {
    return with_sweeps(run, [&](const Sweep& s) { return s.of == lobe; });
}

}  // namespace lobewright
