// study_file.hpp: where a study's lines go: to standard output or to a file that a later study can carry on.
#pragma once

#include <mutex>
#include <set>
#include <string>
#include <string_view>

namespace lobewright {

class StudyFile {
public:
    /// Standard output where `file` is empty. A file that is there is refused (IoError) unless `resume` or
    /// `overwrite` is said, and one that another study is writing to always.
    StudyFile(std::string file, bool resume, bool overwrite);
    ~StudyFile();
    StudyFile(const StudyFile&) = delete;
    StudyFile& operator=(const StudyFile&) = delete;

    /// Keys (study_key) of the runs that it holds already.
    [[nodiscard]] const std::set<std::string>& done() const { return done_; }
    /// Bytes of a last line that was cut off, and was dropped.
    [[nodiscard]] std::size_t dropped() const { return dropped_; }

    /// Adds a line, from any thread. Throws ClosedPipe or IoError; a file is then left with whole lines only.
    void add(std::string_view line);

private:
    void read_done();

    std::string file_;
    int number_ = -1;
    std::mutex mutex_;
    std::set<std::string> done_;
    std::size_t dropped_ = 0;
};

}  // namespace lobewright
