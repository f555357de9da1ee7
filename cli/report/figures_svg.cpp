#include "cli/report/figures_svg.hpp"

#include <duktape.h>
#include <memory>
#include <stdexcept>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "analysis/errors.hpp"
#include "cli/output.hpp"
#include "cli/present_csv.hpp"
#include "cli/report/assets.hpp"

namespace lobewright {
namespace {

struct DestroyHeap {
    void operator()(duk_context* engine) const { duk_destroy_heap(engine); }
};

/// Whatever goes wrong in the scripts is a fault of the program: they see nothing but report_data.
void require(duk_context* engine, duk_int_t failed) {
    if (failed != 0)
        throw std::logic_error(fmt::format("drawing figures: {}", duk_safe_to_string(engine, -1)));
}

}  // namespace

std::vector<FigureFile> draw_figures(const std::string& data) {
    const std::unique_ptr<duk_context, DestroyHeap> heap(duk_create_heap_default());
    if (!heap) throw std::bad_alloc();
    duk_context* engine = heap.get();
    require(engine,
            duk_peval_lstring_noresult(engine, assets::figures_script.data(), assets::figures_script.size()));
    duk_get_global_string(engine, "lobewrightFigures");
    duk_push_lstring(engine, data.data(), data.size());
    require(engine, duk_pcall(engine, 1));
    duk_size_t size = 0;
    const char* drawn = duk_require_lstring(engine, -1, &size);
    std::vector<FigureFile> figures;
    for (const auto& each : nlohmann::json::parse(drawn, drawn + size))
        figures.push_back({each[0].get<std::string>(), each[1].get<std::string>()});
    return figures;
}

void write_figures(const std::vector<FigureFile>& figures, const std::filesystem::path& folder,
                   bool overwrite) {
    make_folder(folder);
    std::vector<std::filesystem::path> files;
    files.reserve(figures.size());
    for (const FigureFile& figure : figures) files.push_back(folder / file_name(figure.name, ".svg"));
    if (!overwrite) refuse_existing(files);
    for (std::size_t i = 0; i < figures.size(); ++i) write_file(files[i], figures[i].svg);
}

}  // namespace lobewright
