// capture_recorder.hpp: the raw bytes of every port into a file as they arrive (docs/capture.md). What `record` took
// is with the system when it returns, so a killed program loses none of it; another thread has it on the disk within
// half a second. When the file can't be written or synced it is given up, never tried again (after a failed fsync
// Linux may drop the pages and then report success: the PostgreSQL developers' findings of 2018), and everything not yet
// known to be on the disk goes to a new file NAME-2.cap, from memory, as soon as one can be made.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <string>
#include <string_view>

#include "rig/acquisition/rig_description.hpp"
#include "rig/capture/capture_note.hpp"

namespace lobewright {

class CaptureRecorder {
public:
    /// Says one plain line about recording that fails, or goes on elsewhere; called on the caller's or the sync thread.
    using Trouble = std::function<void(const std::string&)>;

    /// Makes `file` and has it and its folder on the disk before returning; its first record describes `rig`. Throws
    /// IoError when it exists already or can't be made.
    CaptureRecorder(const std::filesystem::path& file, const RigDescription& rig);
    /// Syncs and closes.
    ~CaptureRecorder();
    CaptureRecorder(const CaptureRecorder&) = delete;
    CaptureRecorder& operator=(const CaptureRecorder&) = delete;

    /// Who is told of trouble from now on.
    void on_trouble(Trouble trouble);
    /// Bytes of the device `port` that came at `host_us` of a steady clock. Never throws, never waits for the disk.
    void record(std::int64_t host_us, std::string_view port, std::string_view bytes);
    void record(const CaptureNote& note);
    /// Everything recorded so far is on the disk when this returns true; false when it is only in memory.
    bool sync();
    /// The file that is written now.
    [[nodiscard]] std::filesystem::path file() const;

private:
    struct State;
    std::unique_ptr<State> state_;
};

}  // namespace lobewright
