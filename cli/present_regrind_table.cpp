#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/judge/wording.hpp"
#include "cli/output.hpp"
#include "cli/present_csv.hpp"
#include "cli/present_regrind.hpp"
#include "cli/words.hpp"

namespace lobewright {

std::string grind_table_csv(const RegrindResult& result, std::size_t index, double step_deg) {
    const RegroundLobe& lobe = result.plan.lobes[index];
    const double mm = mm_per(result.units);
    const int decimals = result.units == Units::in ? 6 : 5;
    const auto length = [&](double length_mm) { return fixed(length_mm / mm, decimals); };
    std::string out = fmt::format("# lobewright-grind/1\n# cam: {}\n# ground to: {}\n# of: {}\n# units: {}\n",
                                  one_line(result.plan.used.id), one_line(lobe.target), one_line(lobe.name),
                                  word(result.units));
    out += fmt::format("# lift of: the cam's own follower ({}), above the ground base circle at mid-width\n",
                       word(result.plan.cam.follower));
    out +=
        fmt::format("# centreline_deg: {}\n# taper: {}\n# off the base circle: {}\n",
                    fixed(lobe.ground.centreline_deg, 3), length(lobe.taper.taper_mm), length(lobe.depth_mm));
    if (lobe.base_diameter_left_mm) {
        const double more_mm = lobe.depth_mm - lobe.ground.stock_mm.value;
        out +=
            fmt::format("# base diameter: {}\n", length(lobe.base_diameter_left_mm->value - 2.0 * more_mm));
    }
    out += "angle_deg,lift,front,rear,off_front,off_rear\n";
    for (const GrindRow& row : grind_table(lobe.ground, lobe.depth_mm, step_deg)) {
        out += fmt::format("{},{},{},{},{},{}\n", fixed(row.angle_deg, 3), length(row.lift_mm),
                           length(row.front_mm), length(row.rear_mm), length(row.off_front_mm),
                           length(row.off_rear_mm));
    }
    return out;
}

void write_grind_tables(const RegrindResult& result, const std::filesystem::path& folder, double step_deg,
                        bool overwrite) {
    make_folder(folder);
    const auto& lobes = result.plan.lobes;
    std::vector<std::filesystem::path> files;
    files.reserve(lobes.size());
    for (const RegroundLobe& lobe : lobes) files.push_back(folder / csv_name(lobe.name));
    if (!overwrite) refuse_existing(files);
    for (std::size_t i = 0; i < lobes.size(); ++i) {
        if (!lobes[i].has_target()) continue;
        write_file(files[i], grind_table_csv(result, i, step_deg));
    }
}

}  // namespace lobewright
