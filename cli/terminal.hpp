// terminal.hpp: the terminal at the bench: keys one by one, a screen that only what changed is sent to, and everything put
// back as it was at the end. Works over ssh, without colour, on a dumb terminal (a line) and on a pipe (lines).
#pragma once

#include <optional>
#include <string>
#include <termios.h>
#include <vector>

#include "cli/present_sweep.hpp"

namespace lobewright {

enum class TerminalKind {
    screen,  // the cursor can be put anywhere
    line,    // one live line, drawn over itself
    lines,   // a pipe or a file: what is said stays said
};

/// What standard output is; `plain` asks for the live line where a screen would do.
TerminalKind terminal_kind(bool plain);

/// Whether the locale's characters are UTF-8, so that block characters can be drawn.
bool draws_blocks();

class Terminal {
public:
    /// Takes keys one by one when standard input is a terminal; on a screen clears it and hides the cursor.
    explicit Terminal(TerminalKind kind);
    ~Terminal();
    Terminal(const Terminal&) = delete;
    Terminal& operator=(const Terminal&) = delete;

    [[nodiscard]] TerminalKind kind() const { return kind_; }
    [[nodiscard]] bool has_keyboard() const { return keyboard_; }
    [[nodiscard]] ScreenSize size() const;

    /// Shows the screen; sends only lines that differ from those before.
    void show(const std::vector<std::string>& lines);
    /// Shows the live line.
    void show_line(const std::string& line);
    /// Says something that stays: above the live line, or as a line of its own.
    void say(const std::string& line);
    /// Says this on every kind of terminal, after `leave`.
    void print(const std::string& text) const { write(text); }
    void bell();
    /// The next screen is sent whole.
    void forget() { shown_.clear(); }

    /// Puts everything back; `enter` takes it again. For a program that is stopped for a while.
    void leave();
    void enter();

private:
    void write(const std::string& text) const;

    TerminalKind kind_;
    bool keyboard_ = false;
    bool entered_ = false;
    termios before_{};
    std::vector<std::string> shown_;
    std::size_t line_width_ = 0;
};

}  // namespace lobewright
