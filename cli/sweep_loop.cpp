#include "cli/sweep_loop.hpp"

#include <algorithm>
#include <array>
#include <cerrno>
#include <chrono>
#include <csignal>
#include <deque>
#include <poll.h>
#include <unistd.h>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "cli/bench/watched_sweep.hpp"
#include "cli/output.hpp"
#include "cli/signals.hpp"
#include "cli/sweep_view.hpp"
#include "cli/terminal.hpp"

namespace lobewright {
namespace {

using std::chrono::duration_cast;
using std::chrono::microseconds;

constexpr std::int64_t repaint_us = 40'000;  // so that a figure is on the screen within 50 ms of its bytes
constexpr std::int64_t line_each_us = 1'000'000;  // of a pipe: a line a second is enough to follow
constexpr std::int64_t quiet_us = 400'000;        // nothing came for so long: the cam stands
constexpr std::size_t most_news = 8;              // lines of it that the screen has room for
constexpr char enter = '\n';
constexpr char escape = '\x1b';

std::int64_t now_us() {
    return duration_cast<microseconds>(std::chrono::steady_clock::now().time_since_epoch()).count();
}

class Loop {
public:
    explicit Loop(const SweepLoop& parts)
        : parts_(parts),
          terminal_(terminal_kind(parts.plain)),
          motor_(parts.motor, parts.wish),
          page_(parts.page, parts.places, parts.is_done) {
        facts_.run = parts.run;
        facts_.port = one_line(parts.port);
        facts_.most_deg_per_s = parts.most_deg_per_s;
        facts_.has_motor = parts.wish.has_value();
        style_.blocks = draws_blocks();
        style_.colour = !parts.no_colour && stdout_takes_colour();
    }
    int run() {
        take_items();  // a rig that is connected has answered already
        if (terminal_.kind() != TerminalKind::screen) say_place();
        while (!session().over()) {
            wait();
            take_signals();
            read_keys();
            take_items();
            use_keys();
            use_page();
            watch_motor();
            draw();
        }
        motor_.halt("the session is over");
        news();
        terminal_.leave();
        if (terminal_.kind() == TerminalKind::screen && !summary_.empty())
            terminal_.print(fmt::format("{}\n", fmt::join(summary_, "\n")));
        return signal_;
    }

private:
    SweepSession& session() { return *parts_.session; }

    void wait() {
        const std::int64_t now = now_us();
        std::int64_t until = dirty_ ? painted_us_ + paint_each_us() : now + 250'000;
        if (const auto next = motor_.next_us()) until = std::min(until, *next);
        std::array<pollfd, 4> watched{{{parts_.queue->descriptor(), POLLIN, 0},
                                       {signals_.descriptor(), POLLIN, 0},
                                       {page_.descriptor(), POLLIN, 0},
                                       {input_open_ ? STDIN_FILENO : -1, POLLIN, 0}}};
        const std::int64_t left_us = std::max<std::int64_t>(0, until - now);
        ::poll(watched.data(), watched.size(), static_cast<int>((left_us + 999) / 1000));
        input_waits_ = watched[3].revents != 0;
    }

    void take_items() {
        for (const SessionItem& item : parts_.queue->take()) {
            session().take(item);
            heard_us_ = now_us();
            dirty_ = true;
            page_.follow(session());
            news();
        }
        const bool quiet = now_us() - heard_us_ > quiet_us;
        dirty_ = dirty_ || quiet != facts_.quiet;
        facts_.quiet = quiet;
    }

    /// The page's buttons do at once what a key at the keyboard would; the motor is started at the keyboard alone, and any
    /// button halts it.
    void use_page() {
        for (const std::string& words : page_.news()) {
            facts_.says.push_back(words);
            terminal_.say(words);
            dirty_ = true;
        }
        for (const char key : page_.keys()) {
            dirty_ = true;
            if (motor_.running()) {
                motor_.halt("a button was pressed");
                tell_halt();
            } else if (!motor_.typed()) {
                use(key);
                news();
            }
        }
    }

    /// Says what is new, with the bell when it wants ears.
    void news() {
        for (const SweepOutcome& outcome : session().outcomes()) {
            facts_.says = outcome_words(outcome);
            summary_.insert(summary_.end(), facts_.says.begin(), facts_.says.end());
            for (const std::string& words : facts_.says) terminal_.say(words);
            terminal_.bell();
            known_troubles_ = 0;
            motor_.halt("the sweep has ended");
            if (terminal_.kind() != TerminalKind::screen && !session().over()) say_place();
        }
        for (const std::string& words : session().news()) {
            facts_.says.push_back(words);
            terminal_.say(words);
            terminal_.bell();
        }
        if (facts_.says.size() > most_news)
            facts_.says.erase(facts_.says.begin(),
                              facts_.says.end() - static_cast<std::ptrdiff_t>(most_news));
        const SweepInHand* hand = session().bench().in_hand();
        if (hand == nullptr) return;
        if (hand->trouble_count() == known_troubles_) return;
        const auto troubles = hand->troubles();
        for (std::size_t i = known_troubles_; i < troubles.size(); ++i)
            terminal_.say(
                fmt::format("! {}: {}", trouble_words(troubles[i]), trouble_advice(troubles[i].kind)));
        known_troubles_ = troubles.size();
        terminal_.bell();
    }

    void say_place() {
        const SweepView view = sweep_view(session(), facts_without_news());
        terminal_.say(fmt::format("-- {} {}, pass {} ({} of {})", view.journal ? "journal" : "lobe", view.of,
                                  view.pass, view.ordinal, view.places));
        for (const std::string& words : view.says) terminal_.say(words);
        if (!view.keys.empty()) terminal_.say(view.keys);
    }

    BenchFacts facts_without_news() const {
        BenchFacts facts = facts_;
        facts.says.clear();
        return facts;
    }

    void read_keys() {
        if (!input_waits_) return;
        std::array<char, 64> bytes{};
        const ssize_t got = ::read(STDIN_FILENO, bytes.data(), bytes.size());
        if (got > 0) return static_cast<void>(keys_.insert(keys_.end(), bytes.begin(), bytes.begin() + got));
        if (got < 0 && (errno == EINTR || errno == EAGAIN)) return;
        input_open_ = false;
        if (terminal_.has_keyboard()) end("the terminal was closed");
    }

    void use_keys() {
        while (!keys_.empty()) {
            if (motor_.running()) {
                keys_.clear();
                motor_.halt("a key was pressed");
                return tell_halt();
            }
            // What a pipe brought waits for its turn; a hand means now.
            if (!terminal_.has_keyboard() && (session().busy() || session().sweeping())) return;
            const char key = keys_.front();
            keys_.pop_front();
            if (key == escape) keys_.clear();  // an arrow or another key of many bytes
            motor_.typed() ? confirm(key) : use(key);
            dirty_ = true;
            news();
        }
        if (!input_open_ && !terminal_.has_keyboard() && !page_.is_served() && !session().busy() &&
            !session().sweeping())
            session().quit();
    }

    void use(char key) {
        SweepSession& walk = session();
        const std::size_t before = walk.ordinal();
        if (walk.sweeping()) {
            if (key == 'e') walk.stop();
            if (key == 'r') walk.repeat();
            if (key == 's') walk.skip();
            if (key == 'q') walk.quit();
            if (key == 't' && parts_.wish) ask_for_motor();
            return;
        }
        if (key == enter || key == '\r' || key == ' ') start_here();
        if (key == 'u') walk.undo();
        if (key == 's') walk.skip();
        if (key == 'b') walk.back();
        if (key == 'q') walk.quit();
        if (walk.ordinal() != before && terminal_.kind() != TerminalKind::screen) say_place();
    }

    void start_here() {
        facts_.says.clear();
        if (!session().rig_is_there()) return;
        if (parts_.wish) return ask_for_motor();
        known_troubles_ = 0;
        terminal_.say("Turn the cam in its running direction; fingers, sleeves and rags clear.");
        session().go();
    }

    void ask_for_motor() {
        facts_.says.clear();
        motor_.ask();
        for (const std::string& words : motor_words("")) terminal_.say(words);
    }

    /// The deliberate word that starts the motor, letter by letter.
    void confirm(char key) {
        const BenchMotor::Word word = motor_.type(key);
        if (word == BenchMotor::Word::refused) facts_.says = {"The motor stays off."};
        if (word != BenchMotor::Word::given) return;
        known_troubles_ = session().sweeping() ? known_troubles_ : 0;
        motor_.start_with(session());
        session().go();
    }

    void watch_motor() {
        if (motor_.watch(session(), heard_us_, now_us())) tell_halt();
        dirty_ = dirty_ || facts_.motor != motor_.running();
        facts_.motor = motor_.running();
    }

    void tell_halt() {
        facts_.says = {motor_.halted_words()};
        facts_.motor = false;
        terminal_.say(facts_.says.front());
        terminal_.bell();
        dirty_ = true;
    }

    void take_signals() {
        for (const int number : signals_.take()) {
            dirty_ = true;
            if (number == SIGWINCH) {
                terminal_.forget();
            } else if (number == SIGTSTP) {
                motor_.halt("the program was stopped");
                terminal_.leave();
                ::raise(SIGSTOP);
                terminal_.enter();
            } else if (number != SIGCONT) {
                signal_ = number;
                end("ended by a signal");
            }
        }
    }

    void end(const std::string& why) {
        motor_.halt(why);
        motor_.forget_word();
        session().quit();
    }

    [[nodiscard]] std::int64_t paint_each_us() const {
        return terminal_.kind() == TerminalKind::lines && !page_.is_served() ? line_each_us : repaint_us;
    }

    void draw() {
        const std::int64_t now = now_us();
        if (!dirty_ || now - painted_us_ < paint_each_us()) return;
        dirty_ = false;
        painted_us_ = now;
        facts_.confirming = motor_.typed();
        const SweepView view = sweep_view(session(), facts_);
        page_.show(view, motor_.typed().has_value(), heard_us_);
        if (terminal_.kind() == TerminalKind::lines && now - lined_us_ < line_each_us) return;
        lined_us_ = now;
        switch (terminal_.kind()) {
            case TerminalKind::screen:
                terminal_.show(present_sweep_screen(view, terminal_.size(), style_));
                break;
            case TerminalKind::line:
                if (view.stage == BenchStage::sweep)
                    terminal_.show_line(present_sweep_line(view, terminal_.size().columns - 1));
                break;
            case TerminalKind::lines:
                if (view.stage == BenchStage::sweep && view.angle_deg)
                    terminal_.say(present_sweep_line(view, 80));
                break;
        }
    }

    const SweepLoop& parts_;
    Signals signals_;
    Terminal terminal_;
    BenchMotor motor_;
    WatchedSweep page_;
    BenchFacts facts_;
    ScreenStyle style_;
    std::deque<char> keys_;
    std::vector<std::string> summary_;
    std::size_t known_troubles_ = 0;
    bool input_open_ = true, input_waits_ = false, dirty_ = true;
    std::int64_t painted_us_ = 0, lined_us_ = 0, heard_us_ = 0;
    int signal_ = 0;
};

}  // namespace

int run_sweep_loop(const SweepLoop& parts) {
    Loop loop(parts);
    return loop.run();
}

}  // namespace lobewright
