#include "cli/report/figures_svg.hpp"

#include <cstdlib>
#include <duktape.h>
#include <memory>
#include <new>
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

/// The engine's memory; it asks once more after tidying up, and only its last refusal ends the drawing.
struct Memory {
    bool refused = false;

    static void* allocate(void* self, duk_size_t size) { return told(self, std::malloc(size), size); }
    static void* reallocate(void* self, void* block, duk_size_t size) {
        return told(self, std::realloc(block, size), size);
    }
    static void release(void* /*self*/, void* block) { std::free(block); }

private:
    static void* told(void* self, void* block, duk_size_t size) {
        if (block == nullptr && size > 0) static_cast<Memory*>(self)->refused = true;
        return block;
    }
};

/// What fails in here leaves by a long jump, so that nothing may need a destructor. Leaves the figures' JSON on the stack.
duk_ret_t draw(duk_context* engine, void* data_pointer) {
    const auto& data = *static_cast<const std::string*>(data_pointer);
    duk_eval_lstring(engine, assets::figures_script.data(), assets::figures_script.size());
    duk_get_global_string(engine, "lobewrightFigures");
    duk_push_lstring(engine, data.data(), data.size());
    duk_call(engine, 1);
    duk_require_string(engine, -1);
    return 1;
}

}  // namespace

std::vector<FigureFile> draw_figures(const std::string& data) {
    Memory memory;
    const std::unique_ptr<duk_context, DestroyHeap> heap(
        duk_create_heap(Memory::allocate, Memory::reallocate, Memory::release, &memory, nullptr));
    if (!heap) throw std::bad_alloc();
    duk_context* engine = heap.get();
    if (duk_safe_call(engine, draw, const_cast<std::string*>(&data), 0, 1) != 0) {
        if (memory.refused) throw std::bad_alloc();
        // Else a fault of the program: the scripts see nothing but report_data.
        throw std::logic_error(fmt::format("drawing figures: {}", duk_safe_to_string(engine, -1)));
    }
    duk_size_t size = 0;
    const char* drawn = duk_get_lstring(engine, -1, &size);
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
