// key_reader.hpp: keys one by one, without waiting for them, for a program that goes on meanwhile.
#pragma once

#include <termios.h>

namespace lobewright {

/// As long as it lives, keys come singly and unseen; nothing changes where standard input or output is no terminal.
class KeyReader {
public:
    KeyReader();
    ~KeyReader();
    KeyReader(const KeyReader&) = delete;
    KeyReader& operator=(const KeyReader&) = delete;
    /// To read keys from, a read that finds none returns at once; -1 where there is no terminal.
    [[nodiscard]] int descriptor() const;

private:
    termios before_{};
    bool here_ = false;
};

}  // namespace lobewright
