#include "cli/truth_file.hpp"

#include <string_view>

#include <fmt/format.h>

#include "analysis/errors.hpp"

namespace lobewright {

TruthFile::TruthFile(const std::string& name) : name_(name) {
    if (name.empty()) return;
    file_.reset(std::fopen(name.c_str(), "we"));
    if (!file_) throw IoError(fmt::format("{}: can't be written", name));
    std::setvbuf(file_.get(), nullptr, _IOLBF, BUFSIZ);
    std::fputs("# lobewright-truth/1\n", file_.get());
}

virtual_rig::TruthLog TruthFile::log() {
    if (!file_) return {};
    return [this](std::string_view line) {
        std::fwrite(line.data(), 1, line.size(), file_.get());
        std::fputc('\n', file_.get());
    };
}

void TruthFile::close() {
    if (!file_) return;
    const bool bad = std::ferror(file_.get()) != 0;
    if (std::fclose(file_.release()) != 0 || bad)
        throw IoError(fmt::format("{}: couldn't be written whole", name_));
}

}  // namespace lobewright
