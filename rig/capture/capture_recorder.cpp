#include "rig/capture/capture_recorder.hpp"

#include <cerrno>
#include <chrono>
#include <condition_variable>
#include <ctime>
#include <fcntl.h>
#include <mutex>
#include <sys/statvfs.h>
#include <thread>
#include <unistd.h>
#include <utility>
#include <vector>

#include <fmt/chrono.h>
#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/run/file_bytes.hpp"
#include "rig/capture/capture_files.hpp"
#include "rig/capture/capture_format.hpp"

namespace lobewright {
namespace {

constexpr auto sync_every = std::chrono::milliseconds(500);
constexpr std::uint64_t little_room = 500'000'000;  // bytes: four hours of three ports flat out at 115200

std::string wall_time() {
    std::tm utc{};
    const std::time_t now = std::time(nullptr);
    ::gmtime_r(&now, &utc);
    return fmt::format("{:%Y-%m-%dT%H:%M:%SZ}", utc);
}

}  // namespace

struct CaptureRecorder::State {
    std::mutex mutex;  // guards all below
    std::condition_variable wake;
    std::filesystem::path first;    // the name asked for
    std::filesystem::path current;  // the file that is, or was last, written
    CaptureHead head;
    int fd = -1;                   // -1: nothing to write to, all is kept in memory
    unsigned part = 1;             // of the current file
    std::uint64_t generation = 0;  // rises with each file given up
    std::string unsynced;          // every record not known to be on the disk
    std::uint64_t unsynced_records = 0;
    std::uint64_t synced_records = 0;  // on the disk in the current file, with its first
    bool ending = false;
    bool said_little_room = false;
    bool said_no_new_file = false;
    Trouble trouble;
    std::vector<std::string> untold;  // trouble that is told once the lock is let go
    std::mutex sync_mutex;            // one sync at a time
    std::thread thread;

    void give_up(const std::string& doing, int error) {
        if (fd >= 0) ::close(fd);
        fd = -1;
        ++generation;
        said_no_new_file = false;
        untold.push_back(
            with_cause(fmt::format("{} {}; what isn't on the disk is kept in memory and goes to a new file",
                                   current.string(), doing),
                       error));
        wake.notify_all();
    }

    void tell(std::unique_lock<std::mutex>& lock) {
        const std::vector<std::string> told = std::exchange(untold, {});
        const Trouble to = trouble;
        if (!to) return;
        lock.unlock();
        for (const std::string& line : told) to(line);
        lock.lock();
    }

    void add(std::int64_t host_us, std::string_view port, std::string_view bytes) {
        std::unique_lock<std::mutex> lock(mutex);
        const std::size_t begin = unsynced.size();
        append_record(unsynced, host_us, port, bytes);
        ++unsynced_records;
        if (fd < 0) return;
        if (const int error = append_to_file(fd, std::string_view(unsynced).substr(begin)))
            give_up("can't be written", error);
        if (!untold.empty()) tell(lock);
    }

    /// Makes NAME-2.cap or the next with everything that isn't known to be safe. Whoever records doesn't wait for it: what
    /// comes meanwhile is added once the rest is on the disk. On failure nothing is left behind.
    bool go_on_in_new_file(std::unique_lock<std::mutex>& lock) {
        CaptureHead with = head;
        with.continues = current.filename().string();
        with.records_there = synced_records;
        unsigned next = part + 1;
        std::string text;
        append_record(text, steady_now_us(), meta_port, print_capture_head(with));
        const std::size_t bytes = unsynced.size();
        const std::uint64_t records = unsynced_records;
        text += unsynced;
        lock.unlock();

        std::filesystem::path file = capture_part(first, next);
        int made = make_capture_file(file);
        for (; made < 0 && errno == EEXIST; made = make_capture_file(file))
            file = capture_part(first, ++next);
        int error = made < 0 ? errno : append_to_file(made, text);
        if (error == 0 && ::fsync(made) != 0) error = errno;
        if (error == 0) error = sync_folder_of(file);

        lock.lock();
        if (error == 0) error = append_to_file(made, std::string_view(unsynced).substr(bytes));
        if (error != 0) {
            if (made >= 0) {
                ::close(made);
                ::unlink(file.c_str());
            }
            if (!said_no_new_file) {
                untold.push_back(with_cause(
                    fmt::format("{} can't be made: make room; what comes is kept in memory", file.string()),
                    error));
            }
            said_no_new_file = true;
            tell(lock);
            return false;
        }
        fd = made;
        part = next;
        current = file;
        synced_records = records + 1;
        unsynced_records -= records;
        unsynced.erase(0, bytes);
        untold.push_back(fmt::format("recording goes on in {}; nothing is lost", file.string()));
        tell(lock);
        return true;
    }

    bool sync() {
        const std::lock_guard<std::mutex> one(sync_mutex);
        std::unique_lock<std::mutex> lock(mutex);
        if (fd < 0) return go_on_in_new_file(lock);
        if (unsynced.empty()) return true;
        const std::size_t bytes = unsynced.size();
        const std::uint64_t records = unsynced_records, then = generation;
        const int copy = ::fcntl(fd, F_DUPFD_CLOEXEC, 0);  // the file may be given up meanwhile
        lock.unlock();
        const int error = copy < 0 || ::fdatasync(copy) != 0 ? errno : 0;
        if (copy >= 0) ::close(copy);
        lock.lock();
        if (generation != then) return go_on_in_new_file(lock);
        if (error != 0) {
            give_up("can't be brought to the disk", error);
            tell(lock);
            return fd < 0 && go_on_in_new_file(lock);
        }
        unsynced.erase(0, bytes);
        unsynced_records -= records;
        synced_records += records;
        return true;
    }

    void watch_room() {
        struct statvfs room {};
        std::unique_lock<std::mutex> lock(mutex);
        if (said_little_room || ::statvfs(current.c_str(), &room) != 0) return;
        const std::uint64_t left = std::uint64_t{room.f_bavail} * room.f_frsize;
        if (left >= little_room) return;
        said_little_room = true;
        untold.push_back(
            fmt::format("only {} MB left on the disk of {}: make room", left / 1'000'000, current.string()));
        tell(lock);
    }

    void run() {
        std::unique_lock<std::mutex> lock(mutex);
        std::uint64_t seen = generation;
        while (!ending) {
            wake.wait_for(lock, sync_every, [this, seen] { return ending || generation != seen; });
            if (ending) return;
            seen = generation;
            lock.unlock();
            sync();
            watch_room();
            lock.lock();
        }
    }
};

CaptureRecorder::CaptureRecorder(const std::filesystem::path& file, const RigDescription& rig)
    : state_(std::make_unique<State>()) {
    State& state = *state_;
    state.first = state.current = file;
    state.head.rig = rig;
    state.head.wall_time = wall_time();
    state.fd = make_capture_file(file);
    if (state.fd < 0) throw IoError(with_cause(fmt::format("{} can't be made", file.string()), errno));
    std::string text;
    append_record(text, steady_now_us(), meta_port, print_capture_head(state.head));
    int error = append_to_file(state.fd, text);
    if (error == 0 && ::fsync(state.fd) != 0) error = errno;
    if (error != 0) {
        ::close(state.fd);
        ::unlink(file.c_str());
        throw IoError(with_cause(fmt::format("{} can't be written", file.string()), error));
    }
    sync_folder(file.has_parent_path() ? file.parent_path() : ".");
    state.synced_records = 1;
    state.thread = std::thread([&state] { state.run(); });
}

CaptureRecorder::~CaptureRecorder() {
    {
        const std::lock_guard<std::mutex> lock(state_->mutex);
        state_->ending = true;
        state_->wake.notify_all();
    }
    state_->thread.join();
    state_->sync();
    if (state_->fd >= 0) ::close(state_->fd);
}

void CaptureRecorder::on_trouble(Trouble trouble) {
    const std::lock_guard<std::mutex> lock(state_->mutex);
    state_->trouble = std::move(trouble);
}

void CaptureRecorder::record(std::int64_t host_us, std::string_view port, std::string_view bytes) {
    state_->add(host_us, port, bytes);
}

void CaptureRecorder::record(const CaptureNote& note) {
    state_->add(note.host_us, meta_port, print_capture_note(note));
}

bool CaptureRecorder::sync() {
    return state_->sync();
}

std::filesystem::path CaptureRecorder::file() const {
    const std::lock_guard<std::mutex> lock(state_->mutex);
    return state_->current;
}

}  // namespace lobewright
