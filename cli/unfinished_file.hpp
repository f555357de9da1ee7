// unfinished_file.hpp: a file that is being written and must not stay behind half done when a signal ends the program.
#pragma once

#include <csignal>
#include <filesystem>
#include <utility>
#include <vector>

namespace lobewright {

/// While it lives, a signal that would end the program (SIGINT, SIGTERM, SIGHUP, SIGQUIT) takes the file away first. Signals
/// that are ignored or handled otherwise stay so. One at a time.
class UnfinishedFile {
public:
    explicit UnfinishedFile(const std::filesystem::path& file);
    ~UnfinishedFile();
    UnfinishedFile(const UnfinishedFile&) = delete;
    UnfinishedFile& operator=(const UnfinishedFile&) = delete;

private:
    std::vector<std::pair<int, struct sigaction>> before_;
};

}  // namespace lobewright
