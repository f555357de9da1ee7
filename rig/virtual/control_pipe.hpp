// control_pipe.hpp: a pipe in the file system that others write orders into while a virtual rig runs.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "rig/virtual/outlet.hpp"

namespace lobewright::virtual_rig {

class ControlPipe {
public:
    /// Makes the pipe, or takes one that is there; without a name there is none. Throws IoError.
    explicit ControlPipe(const std::filesystem::path& file);
    /// Takes it away.
    ~ControlPipe();
    ControlPipe(const ControlPipe&) = delete;
    ControlPipe& operator=(const ControlPipe&) = delete;

    /// Lines that came since, without their ends; never waits.
    std::vector<std::string> lines();

private:
    std::filesystem::path file_;
    Descriptor pipe_;
    std::string heard_;
};

}  // namespace lobewright::virtual_rig
