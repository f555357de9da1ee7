// truth_file.hpp: what a virtual rig truly did, into a file of its own (docs/virtual-rig.md), line by line, so that it can be
// followed while the rig runs.
#pragma once

#include <cstdio>
#include <memory>
#include <string>

#include "rig/virtual/virtual_bench.hpp"

namespace lobewright {

class TruthFile {
public:
    /// Makes `name` anew; without a name nothing is written. Throws IoError.
    explicit TruthFile(const std::string& name);
    /// Where lines go; empty without a file. Valid as long as this.
    [[nodiscard]] virtual_rig::TruthLog log();
    /// Throws IoError when not all of it could be written.
    void close();

private:
    struct Close {
        void operator()(std::FILE* file) const { static_cast<void>(std::fclose(file)); }
    };
    std::string name_;
    std::unique_ptr<std::FILE, Close> file_;
};

}  // namespace lobewright
