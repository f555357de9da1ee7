#include "tests/coverage/verdict_pages.hpp"

#include <numeric>

#include <fmt/format.h>

namespace lobewright {
namespace {

int sum(const VerdictCounts& counts) {
    return std::accumulate(counts.begin(), counts.end(), 0);
}

/// In the table's order: reuse, regrind, scrap, remeasure.
void print_cells(const VerdictCounts& counts) {
    for (const Verdict verdict : {Verdict::reuse, Verdict::regrind, Verdict::scrap, Verdict::remeasure}) {
        fmt::print(" {} |", counts[static_cast<std::size_t>(verdict)]);
    }
}

void print_confusion(const char* what, const std::map<Verdict, VerdictCounts>& table) {
    fmt::print(
        "\n| {} truly | in all | said reuse | regrind | scrap | remeasure |\n| --- | --- | --- | --- | --- | "
        "--- |\n",
        what);
    for (const auto& [truth, counts] : table) {
        fmt::print("| {} | {} |", word(truth), sum(counts));
        print_cells(counts);
        fmt::print("\n");
    }
}

void print_list(const char* head, const std::vector<std::string>& lines) {
    fmt::print("\n{}: {}.\n", head, lines.size());
    for (const std::string& line : lines) fmt::print("- {}\n", line);
}

}  // namespace

void print_verdicts_page(const VerdictOptions& options) {
    const VerdictStudy study = study_verdicts(options);
    fmt::print(
        "# Verdicts tried on cams whose truth is known\n\nMade by `lobewright_coverage {} verdicts`. {} "
        "simulated cams of "
        "{} lobes, each measured new and worn on benches drawn at random: one pass a lobe, noise of {} mm on "
        "every "
        "reading, indicators with an error limit of 0.001 or 0.002 mm, a datum bar, journals swept. Bends, "
        "eccentric "
        "lobes, tappets set off centre, cams with and without a thrust plate and cases of 0.7 to 2.5 mm are "
        "drawn as "
        "well. Truth is what the closed forms of the model say against the built-in limits; a truth is never "
        "\"remeasure\".\n",
        options.cams, study.cams_judged, options.lobes, options.noise_mm);
    print_list("Cams that `compare` took for bad data (another cam?), judged by nobody", study.refused);
    print_confusion("lobe", study.lobes);
    print_confusion("cam", study.cams);
    const auto fit = study.lobes.find(Verdict::reuse);
    const int fit_lobes = fit == study.lobes.end() ? 0 : sum(fit->second);
    print_list("Unfit lobes passed as fit", study.unfit_passed);
    print_list("Fit lobes condemned", study.fit_condemned);
    fmt::print("\nOf {} fit lobes {:.2f} % were condemned. Scrap-worthy cams passed as fit: {}.\n", fit_lobes,
               fit_lobes > 0 ? 100.0 * static_cast<double>(study.fit_condemned.size()) / fit_lobes : 0.0,
               study.scrap_cams_passed);
    fmt::print(
        "\n| worn by | lobes | truly fit | said reuse | regrind | scrap | remeasure |\n"
        "| --- | --- | --- | --- | --- | --- | --- |\n");
    for (const auto& [wear, counts] : study.by_wear) {
        fmt::print("| {} | {} | {} |", wear, sum(counts), study.fit_by_wear.at(wear));
        print_cells(counts);
        fmt::print("\n");
    }
}

}  // namespace lobewright
