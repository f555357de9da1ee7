#include "cli/terminal.hpp"

#include <cerrno>
#include <clocale>
#include <cstdlib>
#include <cstring>
#include <langinfo.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include <fmt/format.h>

namespace lobewright {
namespace {

constexpr auto take_screen = "\x1b[?1049h\x1b[?25l\x1b[2J";
constexpr auto give_screen_back = "\x1b[?25h\x1b[?1049l";

}  // namespace

TerminalKind terminal_kind(bool plain) {
    if (::isatty(STDOUT_FILENO) != 1) return TerminalKind::lines;
    const char* term = std::getenv("TERM");
    const bool dumb = term == nullptr || *term == '\0' || std::strcmp(term, "dumb") == 0;
    return dumb || plain ? TerminalKind::line : TerminalKind::screen;
}

bool draws_blocks() {
    std::setlocale(LC_CTYPE, "");
    const bool utf8 = std::strcmp(::nl_langinfo(CODESET), "UTF-8") == 0;
    std::setlocale(LC_CTYPE, "C");
    return utf8;
}

Terminal::Terminal(TerminalKind kind) : kind_(kind) {
    keyboard_ = ::isatty(STDIN_FILENO) == 1 && ::tcgetattr(STDIN_FILENO, &before_) == 0;
    enter();
}

Terminal::~Terminal() {
    leave();
}

void Terminal::enter() {
    if (entered_) return;
    entered_ = true;
    if (keyboard_) {
        termios raw = before_;
        raw.c_lflag &= ~static_cast<tcflag_t>(ICANON | ECHO);  // signals stay: ctrl-C ends the program
        raw.c_cc[VMIN] = 1;
        raw.c_cc[VTIME] = 0;
        ::tcsetattr(STDIN_FILENO, TCSADRAIN, &raw);
    }
    if (kind_ == TerminalKind::screen) write(take_screen);
    forget();
}

void Terminal::leave() {
    if (!entered_) return;
    entered_ = false;
    if (kind_ == TerminalKind::screen) write(give_screen_back);
    if (kind_ == TerminalKind::line && line_width_ > 0) write("\n");
    line_width_ = 0;
    if (keyboard_) ::tcsetattr(STDIN_FILENO, TCSANOW, &before_);
}

ScreenSize Terminal::size() const {
    winsize found{};
    if (::ioctl(STDOUT_FILENO, TIOCGWINSZ, &found) == 0 && found.ws_col > 0 && found.ws_row > 0)
        return {found.ws_col, found.ws_row};
    return {};
}

void Terminal::show(const std::vector<std::string>& lines) {
    std::string text;
    const bool whole = shown_.size() != lines.size();
    if (whole) text += "\x1b[2J";
    for (std::size_t i = 0; i < lines.size(); ++i) {
        if (!whole && shown_[i] == lines[i]) continue;
        text += fmt::format("\x1b[{};1H{}\x1b[K", i + 1, lines[i]);
    }
    shown_ = lines;
    if (!text.empty()) write(text);
}

void Terminal::show_line(const std::string& line) {
    const std::size_t width = line.size();
    const std::string blanks(line_width_ > width ? line_width_ - width : 0, ' ');
    line_width_ = width;
    write(fmt::format("\r{}{}\r{}", line, blanks, line));
}

void Terminal::say(const std::string& line) {
    if (kind_ == TerminalKind::screen) return;
    const std::string blanks(line_width_ > line.size() ? line_width_ - line.size() : 0, ' ');
    const std::string to_the_left = kind_ == TerminalKind::line && line_width_ > 0 ? "\r" : "";
    line_width_ = 0;
    write(to_the_left + line + blanks + "\n");
}

void Terminal::bell() {
    if (kind_ != TerminalKind::lines) write("\a");
}

/// What the terminal won't take is lost to the screen alone: the sweep is what counts.
void Terminal::write(const std::string& text) const {
    std::size_t at = 0;
    while (at < text.size()) {
        const ssize_t put = ::write(STDOUT_FILENO, text.data() + at, text.size() - at);
        if (put < 0 && errno == EINTR) continue;
        if (put < 0) return;
        at += static_cast<std::size_t>(put);
    }
}

}  // namespace lobewright
