// figures_svg.hpp: the report's charts as SVG files, by the same functions that draw them in the page (ECharts, run by
// Duktape inside the program: no browser).
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace lobewright {

struct FigureFile {
    std::string name;  // "1E-wear": lobe and chart, or a chart of the whole cam
    std::string svg;
};

/// Every chart of report_data's JSON.
std::vector<FigureFile> draw_figures(const std::string& data);

/// Writes them as NAME.svg to `folder`, which is made. Throws IoError when one is there already and `overwrite` isn't
/// said, or can't be written.
void write_figures(const std::vector<FigureFile>& figures, const std::filesystem::path& folder,
                   bool overwrite);

}  // namespace lobewright
