// errors.hpp: what can go wrong, each kind with its exit status (README.md).
// The text is one line that says what is wrong, where (file, line, column, key) and what to do.
#pragma once

#include <stdexcept>

namespace lobewright {

/// Exit status of the program (README.md).
enum class Exit {
    fit = 0,
    unfit = 1,
    undecided = 2,
    usage = 64,
    data = 65,
    no_input = 66,
    no_device = 69,
    io = 74
};

/// A failure that reaches the user as one line and ends the program with `exit`.
class Error : public std::runtime_error {
public:
    Error(Exit exit, const std::string& text) : std::runtime_error(text), exit_(exit) {}
    [[nodiscard]] Exit exit() const { return exit_; }

private:
    Exit exit_;
};

/// The data are wrong: a bad cell, an unknown key, a lobe that stands in one run only (65).
struct DataError : Error {
    explicit DataError(const std::string& text) : Error(Exit::data, text) {}
};

/// A file or folder that was named isn't there (66).
struct NoInputError : Error {
    explicit NoInputError(const std::string& text) : Error(Exit::no_input, text) {}
};

/// A device of the rig isn't there, is in use, may not be opened or doesn't answer (69).
struct DeviceError : Error {
    explicit DeviceError(const std::string& text) : Error(Exit::no_device, text) {}
};

/// Reading or writing failed although the thing is there (74).
struct IoError : Error {
    explicit IoError(const std::string& text) : Error(Exit::io, text) {}
};

/// The options don't make sense together (64).
struct UsageError : Error {
    explicit UsageError(const std::string& text) : Error(Exit::usage, text) {}
};

}  // namespace lobewright
