// pty_rig.hpp: a controller at the other end of a pseudo-terminal, written from the protocol's text alone (its own check
// sum, its own line forms), turned by the test: so many degrees, with these faults. Readings are those of the launch
// engine's cam. Time is the controller's own and runs with the turning, so nothing waits for it.
#pragma once

#include <atomic>
#include <cerrno>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <fcntl.h>
#include <filesystem>
#include <functional>
#include <mutex>
#include <optional>
#include <poll.h>
#include <stdexcept>
#include <string>
#include <termios.h>
#include <thread>
#include <unistd.h>
#include <vector>

#include <fmt/format.h>

#include "rig/model/example_cams.hpp"
#include "rig/model/station.hpp"
#include "tests/cli/program.hpp"

namespace lobewright::tests {

/// CRC-16, polynomial 0x1021, start 0xFFFF, no reflection, no final XOR; "123456789" gives 29B1.
inline unsigned check_sum(const std::string& text) {
    unsigned crc = 0xFFFF;
    for (const char c : text) {
        crc ^= static_cast<unsigned>(static_cast<unsigned char>(c)) << 8U;
        for (int bit = 0; bit < 8; ++bit)
            crc = ((crc & 0x8000U) != 0 ? (crc << 1U) ^ 0x1021U : crc << 1U) & 0xFFFFU;
    }
    return crc;
}

inline std::string checked(const std::string& payload) {
    return fmt::format("{}*{:04X}\n", payload, check_sum(payload));
}

/// What `sweep` must be told for a new run of one lobe on this rig.
inline std::vector<std::string> new_run_words() {
    std::vector<std::string> words;
    for (const char* setting : {"run.condition=new", "cam.follower=flat", "cam.retention=thrust-plate",
                                "rig.tip=flat", "rig.front_z=-4.0", "rig.rear_z=4.0"})
        words.insert(words.end(), {"--set", setting});
    words.insert(words.end(), {"--lobe", "1E,exhaust,30,12"});
    return words;
}

class PtyRig {
public:
    static constexpr std::int64_t counts_per_rev = 14400;

    explicit PtyRig(std::string lobe = "1E", bool motor = false) : motor_(motor) {
        set_lobe(std::move(lobe));
        plug();
        thread_ = std::thread([this] { serve(); });
    }
    ~PtyRig() {
        end_ = true;
        thread_.join();
        const std::lock_guard lock(mutex_);
        drop();
    }
    PtyRig(const PtyRig&) = delete;
    PtyRig& operator=(const PtyRig&) = delete;

    [[nodiscard]] std::string port() const { return folder_ / "rig"; }
    [[nodiscard]] bool streams() const { return streams_; }
    [[nodiscard]] std::string orders() {
        const std::lock_guard lock(mutex_);
        return orders_;
    }

    void set_lobe(std::string lobe) {
        RigModel rig;
        rig.info.front_z_mm = -4.0;
        rig.info.rear_z_mm = 4.0;
        rig.info.counts_per_rev = counts_per_rev;
        const std::lock_guard lock(mutex_);
        station_.emplace(launch_engine_cam(), rig, lobe);
    }

    /// Turns the encoder to this angle, forward or back; a sample each `every` counts, the mark where it goes by. As fast
    /// as the other side reads.
    void turn_to(double deg) {
        const std::lock_guard lock(mutex_);
        const auto target = static_cast<std::int64_t>(std::llround(deg * counts_per_rev / 360.0));
        const std::int64_t way = target >= count_ ? 1 : -1;
        while (count_ != target && master_ >= 0) {
            count_ += way;
            t_us_ += 1250;  // 20 deg/s
            if (way > 0 && count_ % counts_per_rev == 0 && marks_) line("X", "");
            if (count_ % every_ == 0) sample();
        }
    }
    void rest(double seconds) {
        const std::lock_guard lock(mutex_);
        for (int i = 0; i < static_cast<int>(seconds); ++i) {
            t_us_ += 1'000'000;
            line("B", "");
        }
    }
    /// Samples from now on carry these many counts more: the encoder slipped.
    void slip(int counts) {
        const std::lock_guard lock(mutex_);
        slipped_ += counts;
    }
    /// The next lines are lost on the wire.
    void lose(int lines) {
        const std::lock_guard lock(mutex_);
        lose_ = lines;
    }
    void fault(const std::string& code) {
        const std::lock_guard lock(mutex_);
        fault_line(code);
    }
    void without_marks() { marks_ = false; }
    /// Adds to every reading of this indicator.
    void shift_rear(double mm) {
        const std::lock_guard lock(mutex_);
        rear_shift_mm_ = mm;
    }

    /// A parallel lies under the tips instead of a cam.
    void lay_parallel(double front_mm, double rear_mm) {
        const std::lock_guard lock(mutex_);
        parallel_ = Edges{front_mm, rear_mm};
    }

    /// Pulls the plug; what the other side has read is read. The controller loses its count.
    void unplug() {
        const std::lock_guard lock(mutex_);
        drop();
    }
    /// The cable is in another socket, the controller has kept its count.
    void plug_in_anew() {
        const std::lock_guard lock(mutex_);
        drop();
        plug();
    }
    void plug_again() {
        const std::lock_guard lock(mutex_);
        plug();
        slipped_ = -count_;  // it counts from 0 again
        seq_ = 0;
    }
    /// Where the encoder stands, in counts.
    std::int64_t count() {
        const std::lock_guard lock(mutex_);
        return count_;
    }
    /// Waits until the other side has taken all that was sent.
    void drain() {
        for (;;) {
            const std::lock_guard lock(mutex_);
            pollfd waits{slave_, POLLIN, 0};
            if (slave_ < 0 || ::poll(&waits, 1, 0) == 0) return;
            std::this_thread::yield();
        }
    }

private:
    void plug() {
        master_ = ::posix_openpt(O_RDWR | O_NOCTTY | O_CLOEXEC | O_NONBLOCK);
        if (master_ < 0 || ::grantpt(master_) != 0 || ::unlockpt(master_) != 0)
            throw std::runtime_error("no pseudo-terminal");
        const std::string name = ::ptsname(master_);
        slave_ = ::open(name.c_str(), O_RDWR | O_NOCTTY | O_CLOEXEC);
        termios settings{};
        ::tcgetattr(slave_, &settings);
        ::cfmakeraw(&settings);
        ::tcsetattr(slave_, TCSANOW, &settings);
        std::filesystem::remove(folder_ / "rig.new");
        std::filesystem::create_symlink(name, folder_ / "rig.new");
        std::filesystem::rename(folder_ / "rig.new", folder_ / "rig");
        streams_ = false;
        heard_.clear();
    }
    void drop() {
        if (slave_ >= 0) ::close(slave_);
        if (master_ >= 0) ::close(master_);
        master_ = slave_ = -1;
        std::filesystem::remove(folder_ / "rig");
        streams_ = false;
    }

    void serve() {
        while (!end_) {
            {
                const std::lock_guard lock(mutex_);
                listen();
            }
            std::this_thread::sleep_for(
                std::chrono::milliseconds(2));  // of the peer's own pace, nothing waits for it
        }
    }
    void listen() {
        char bytes[256];
        if (master_ < 0) return;
        for (ssize_t got = ::read(master_, bytes, sizeof bytes); got > 0;
             got = ::read(master_, bytes, sizeof bytes))
            heard_.append(bytes, static_cast<std::size_t>(got));
        for (std::size_t end = heard_.find('\n'); end != std::string::npos; end = heard_.find('\n')) {
            const std::string line = heard_.substr(0, end + 1);
            heard_.erase(0, end + 1);
            const std::size_t star = line.rfind('*');
            if (star != std::string::npos && checked(line.substr(0, star)) == line)
                obey(line.substr(0, star));
        }
    }
    void obey(const std::string& order) {
        orders_ += order + "\n";
        if (order == "hello")
            write(checked(fmt::format("H,1,bench,{},500,{}", counts_per_rev, motor_ ? "t" : "-")));
        if (order == "start") streams_ = true;
        if (order == "stop") {
            streams_ = false;
            write(checked(fmt::format("Q,{}", seq_)));
        }
        if (order.rfind("every,", 0) == 0) every_ = std::max(1, std::atoi(order.c_str() + 6));
    }
    void sample() {
        const double rad = 2.0 * 3.14159265358979323846 * static_cast<double>(count_) / counts_per_rev;
        const Edges mm = parallel_.value_or(station_->readings(rad));
        const auto steps = [](double value) { return std::lround(value / 0.0005); };
        line("S", fmt::format(",{},{}", steps(mm.front), steps(mm.rear + rear_shift_mm_)));
    }
    void line(const std::string& kind, const std::string& rest) {
        if (!streams_) return;
        ++seq_;
        if (lose_ > 0 && kind == "S") return static_cast<void>(--lose_);
        write(
            checked(fmt::format("{},{},{},{}{}", kind, seq_, t_us_ & 0xFFFFFFFFU, count_ + slipped_, rest)));
    }
    void fault_line(const std::string& code) {
        if (!streams_) return;
        ++seq_;
        write(checked(fmt::format("F,{},{},{}", seq_, t_us_ & 0xFFFFFFFFU, code)));
    }
    /// All of it, waiting for room.
    void write(const std::string& text) {
        std::size_t at = 0;
        while (at < text.size() && master_ >= 0 && !end_) {
            const ssize_t put = ::write(master_, text.data() + at, text.size() - at);
            if (put > 0) at += static_cast<std::size_t>(put);
            if (put < 0 && errno != EAGAIN && errno != EINTR) return;
            if (put < 0) {
                pollfd waits{master_, POLLOUT, 0};
                ::poll(&waits, 1, 100);
            }
        }
    }

    TempFolder folder_;
    std::recursive_mutex mutex_;
    std::optional<Station> station_;
    std::optional<Edges> parallel_;
    std::thread thread_;
    std::atomic<bool> end_{false}, streams_{false}, marks_{true};
    bool motor_ = false;
    int master_ = -1, slave_ = -1, every_ = 10, lose_ = 0;
    std::string heard_, orders_;
    std::uint32_t seq_ = 0;
    std::uint64_t t_us_ = 0;
    std::int64_t count_ = -200, slipped_ = 0;  // five degrees before the mark
    double rear_shift_mm_ = 0.0;
};

}  // namespace lobewright::tests
