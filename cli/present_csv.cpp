#include "cli/present_csv.hpp"

#include <cmath>

#include <fmt/format.h>

#include "analysis/judge/wording.hpp"
#include "cli/output.hpp"
#include "cli/words.hpp"

namespace lobewright {
namespace {

struct CsvColumn {
    std::string_view name;
    const std::vector<double>& values;
    double per;  // mm in the column's unit
    int decimals;
};

std::vector<CsvColumn> csv_columns(const LobeCurves& curves, bool has_reference, Units units) {
    const double mm = mm_per(units);
    const int decimals = units == Units::in ? 7 : 6;  // a nanometre and a little: finer than any indicator
    std::vector<CsvColumn> columns{{"angle_deg", curves.angle_deg, 1.0, 5},
                                   {"front", curves.front_mm, mm, decimals},
                                   {"rear", curves.rear_mm, mm, decimals},
                                   {"taper", curves.taper_mm, mm, decimals}};
    if (has_reference) {
        columns.push_back({"wear_front", curves.wear_front_mm, mm, decimals});
        columns.push_back({"wear_rear", curves.wear_rear_mm, mm, decimals});
    }
    return columns;
}

}  // namespace

std::string present_csv(const Result& result, std::size_t index) {
    const LobeFigures& lobe = result.figures.lobes[index];
    const bool has_reference = result.figures.has_reference;
    std::string out = fmt::format("# lobewright-curves/1\n# used: {}\n", one_line(result.figures.used.id));
    if (has_reference) out += fmt::format("# reference: {}\n", one_line(result.figures.reference.id));
    out += fmt::format("# of: {}\n# units: {}\n", one_line(lobe.name), word(result.units));

    const std::vector<CsvColumn> columns = csv_columns(lobe.curves, has_reference, result.units);
    for (const CsvColumn& column : columns) {
        (out += &column == &columns.front() ? "" : ",") += column.name;
    }
    out += '\n';
    for (std::size_t row = 0; row < lobe.curves.angle_deg.size(); ++row) {
        for (const CsvColumn& column : columns) {
            if (&column != &columns.front()) out += ',';
            // A curve that can't be known has no points.
            const double value = row < column.values.size() ? column.values[row] / column.per : std::nan("");
            if (std::isfinite(value)) out += fixed(value, column.decimals);
        }
        out += '\n';
    }
    return out;
}

std::filesystem::path csv_name(const std::string& lobe) {
    return file_name(lobe, ".csv");
}

void write_csv_files(const Result& result, const std::filesystem::path& folder, bool overwrite) {
    make_folder(folder);
    std::vector<std::filesystem::path> files;
    files.reserve(result.figures.lobes.size());
    for (const LobeFigures& lobe : result.figures.lobes) files.push_back(folder / csv_name(lobe.name));
    if (!overwrite) refuse_existing(files);
    for (std::size_t i = 0; i < files.size(); ++i) write_file(files[i], present_csv(result, i));
}

}  // namespace lobewright
