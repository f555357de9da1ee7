#include "cli/report/write_report.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "cli/output.hpp"
#include "cli/present_screen.hpp"
#include "cli/report/figures_svg.hpp"
#include "cli/report/report_data.hpp"
#include "cli/report/report_page.hpp"
#include "cli/report/report_sources.hpp"
#include "cli/say_result.hpp"

namespace lobewright {

std::size_t report_u95_each(std::size_t curve_points) {
    return std::max<std::size_t>(1, curve_points / 45);
}

void write_report(const Result& result, const Run* reference, const Run& used, const BenchSetUp& set_up,
                  const ReportFiles& files) {
    if (!files.page.empty() && !files.overwrite) refuse_existing({files.page});
    const std::string data = report_data(gather_report(result, reference, used, set_up));
    if (!files.figures.empty()) write_figures(draw_figures(data), files.figures, files.overwrite);
    if (files.page.empty()) return;
    const std::string title = fmt::format("{}: {}", one_line(used.info.id), say_verdict(result));
    write_file(files.page, report_page(data, title, present_screen(result, false)));
}

void write_page(const std::string& json, const std::string& headline, const std::string& plain,
                const std::filesystem::path& page, bool overwrite) {
    if (!overwrite) refuse_existing({page});
    write_file(page, report_page(page_data(json, headline), headline, plain));
}

}  // namespace lobewright
