// program_faults.hpp: what can go wrong around the program, made to go wrong, and what became of it: exit status, what was
// said, and what was left on the disk. docs/program-faults.md is made of it, and the tests hold each row.
#pragma once

#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "tests/cli/started_program.hpp"
#include "tests/faults/program_call.hpp"

namespace lobewright::tests {

#ifdef __SANITIZE_ADDRESS__
inline constexpr bool sanitized = true;
#else
inline constexpr bool sanitized = false;
#endif

/// Where one fault is tried: a folder with the runs `new` and `used` (of a small cam), beside it what the fault needs.
struct Scene {
    TempFolder folder;
    TempFolder beside;
    std::unique_ptr<StartedProgram> rig;
    std::string skipped;  // set by `prepare`: why it can't be tried here
};

struct ProgramFault {
    std::string done;       // as the page calls it
    Conditions call;        // PORT: the scene's rig; BESIDE: the folder beside the scene
    int status = 0;         // that is due; minus the signal that ends it
    std::string says = {};  // part of the one line that is due; empty: nothing need be said
    std::string left = "as before";
    std::function<void(Scene&)> prepare = [](Scene&) {};
    /// What is wrong beyond that, empty when nothing is.
    std::function<std::string(Scene&, const Ended&)> wrong = [](Scene&, const Ended&) {
        return std::string();
    };
};

struct FaultGroup {
    std::string name;
    std::vector<ProgramFault> faults;
};

std::vector<FaultGroup> program_faults();

struct FaultRow {
    std::string row;      // of the page
    std::string wrong;    // empty: as it should be
    std::string skipped;  // why it wasn't tried
};

FaultRow try_program_fault(const ProgramFault& fault);

/// The words of a sweep of one lobe on a new run; a rig for it, and somebody who presses Enter, are `prepare_rig`'s. `script`:
/// what the hand does; it turns by itself without one.
std::vector<std::string> sweep_words(const std::string& command = "sweep");
void prepare_rig(Scene& scene, const std::string& script = "");

/// Bytes of a text as a page of Markdown can hold them.
std::string as_shown(const std::string& text);

// The groups, by what they are about.
std::vector<FaultGroup> faults_of_memory_and_disk();
std::vector<FaultGroup> faults_of_folders_and_links();
std::vector<FaultGroup> faults_of_names_and_files();
std::vector<FaultGroup> faults_of_time_and_place();
std::vector<FaultGroup> faults_of_ends();

}  // namespace lobewright::tests
