#include "cli/key_reader.hpp"

#include <unistd.h>

namespace lobewright {

KeyReader::KeyReader() {
    if (::isatty(STDIN_FILENO) != 1 || ::isatty(STDOUT_FILENO) != 1) return;
    if (::tcgetattr(STDIN_FILENO, &before_) != 0) return;
    termios now = before_;
    now.c_lflag &= ~static_cast<tcflag_t>(ICANON | ECHO);
    now.c_cc[VMIN] = 0;  // a read that finds no key doesn't wait
    now.c_cc[VTIME] = 0;
    here_ = ::tcsetattr(STDIN_FILENO, TCSANOW, &now) == 0;
}

KeyReader::~KeyReader() {
    if (here_) ::tcsetattr(STDIN_FILENO, TCSANOW, &before_);
}

int KeyReader::descriptor() const {
    return here_ ? STDIN_FILENO : -1;
}

}  // namespace lobewright
