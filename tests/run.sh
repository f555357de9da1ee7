#!/bin/sh
# Everything a change is held to, from a bare Debian 12: formatting, house rules, warnings as errors, tests, tests
# under the address and undefined-behaviour sanitizers, a comparison and a sweep under the thread sanitizer, fuzz, lint, cppcheck.
# Ends at the first thing that fails, with its name; the last line is the tests' own total.
# Usage: sh tests/run.sh
set -eu
cd "$(dirname "$0")/.."
. cli/packages.sh

cores=$(nproc)
begun=$(date +%s)
stage="start"
trap 'failed=$?; [ "$failed" -eq 0 ] || echo "FAILED: $stage (exit status $failed)" >&2' EXIT
trap 'exit 130' INT TERM

# stage NAME COMMAND...: one thing to hold, with its time.
stage() {
    stage=$1
    shift
    echo "== $stage"
    since=$(date +%s)
    "$@"
    echo "-- $stage: $(($(date +%s) - since)) s"
}

# build FOLDER TARGET CMAKE-OPTION...
build() {
    folder=$1 target=$2
    shift 2
    # Where a compiler cache stands ready, what was compiled before isn't compiled again.
    launcher=$(command -v ccache) || launcher=""
    export CCACHE_SLOPPINESS=pch_defines,time_macros  # what it needs to work with precompiled headers
    # Several files compiled as one: most of what a file costs is the headers.
    quietly cmake -G Ninja -S . -B "$folder" -DCMAKE_CXX_COMPILER_LAUNCHER="$launcher" -DCMAKE_UNITY_BUILD=ON "$@"
    cmake --build "$folder" --parallel "$cores" --target "$target"
}

sources() {
    find rig analysis cli tests -name '*.cpp' -o -name '*.hpp' | sort
}

packages() {
    need g++ cmake ninja-build clang-format clang-tidy cppcheck libeigen3-dev libfmt-dev libboost-dev libtomlplusplus-dev libcli11-dev \
        nlohmann-json3-dev libserialport-dev pkg-config catch2 libgsl-dev duktape-dev locales python3 python3-serial python3-scipy clang chromium doxygen
    npm_there
}

formatting() {
    sources | xargs clang-format --dry-run -Werror
}

house_rules() {
    strays=$(find . -mindepth 1 -maxdepth 1 ! -name '.*' ! -name 'build*' -printf '%f\n' |
        grep -vxE 'CMakeLists\.txt|README\.md|DEVELOPERS\.md|rig|analysis|cli|tests|sample_runs|docs') || true
    [ -z "$strays" ] || give_up "the top level holds more than its nine names: $strays"
    for name in CMakeLists.txt README.md DEVELOPERS.md rig analysis cli tests sample_runs docs; do
        [ -e "$name" ] || give_up "the top level lacks $name"
    done
    # The way of the data is rig -> run folder -> analysis -> cli.
    against=$(grep -rnE '#include "(rig|cli)/' analysis; grep -rnE '#include "cli/' rig) || true
    [ -z "$against" ] || give_up "an include against the way of the data: $against"
}

test_run() {
    ctest --test-dir "$1" --parallel "$cores" --output-on-failure --no-tests=error --output-log "$PWD/$1/ctest.txt"
}

# Lobes are shared out over threads; a cam of eight keeps all of them busy.
threads() {
    build build-thread lobewright -DLOBEWRIGHT_TESTS=OFF -DLOBEWRIGHT_SANITIZE=thread "$@"
    status=0
    TSAN_OPTIONS=halt_on_error=1 build-thread/cli/lobewright compare \
        sample_runs/launch-4-new sample_runs/launch-4-used-wiped >build-thread/compare.txt || status=$?
    [ "$status" -eq 1 ] || give_up "comparing under the thread sanitizer ended with status $status, not 1 (not fit)"
    # And a sweep: the rig's thread, the capture's and the bench's.
    TSAN_OPTIONS=halt_on_error=1 /usr/bin/python3 tests/peers/python_rig.py build-thread/cli/lobewright
}

# The compile commands are those of g++, whose names for warnings clang needn't know, and whose precompiled headers it
# can't read. Files are read several at a time (docs/decisions/joined-files.md): the static analyser looks into the files
# that another one includes if that one's path says UnifiedSource. Its limit of nodes keeps it from walking a command's
# whole option parser for a minute; it finds the same planted faults as without. Joined tests are held to what tests/.clang-tidy holds them to.
lint() {
    folder=build-lint/UnifiedSource
    quietly cmake -G Ninja -S . -B "$folder" -DCMAKE_DISABLE_PRECOMPILE_HEADERS=ON -DCMAKE_UNITY_BUILD=ON
    {
        find "$folder/rig" "$folder/analysis" "$folder/cli" -name 'unity_*.cxx'
        find "$folder/tests/joined" -name 'joined_*.cpp'
        find tests -name '*.cpp' ! -name '*_test.cpp'
    } | sort | xargs -P "$cores" -n 1 sh -c '
        checks=-bugprone-suspicious-include
        case $0 in */joined_*) checks=$checks,-clang-analyzer-*,-performance-unnecessary-value-param ;; esac
        if said=$(clang-tidy --quiet --checks="$checks" --extra-arg=-Wno-unknown-warning-option \
            --extra-arg=-Xclang --extra-arg=-analyzer-config --extra-arg=-Xclang --extra-arg=max-nodes=50000 \
            -p build-lint/UnifiedSource "$0" 2>&1); then echo "linted $0"
        else echo "$said"; exit 255; fi'
}

# Half a minute; what is passed over has its reason in the file.
cppcheck_all() {
    quietly cppcheck --enable=warning,performance,portability --std=c++20 --library=posix --inline-suppr --quiet \
        --suppressions-list=tests/cppcheck.suppressions --suppress=missingIncludeSystem --error-exitcode=1 \
        -I . -j "$cores" rig analysis cli
}

# Input from outside, from the kept corpus on, for a bounded time each.
fuzz() {
    build build-fuzz fuzz_targets -DCMAKE_CXX_COMPILER=clang++ -DLOBEWRIGHT_TESTS=OFF -DLOBEWRIGHT_FUZZ=ON
    for target in rig_bytes device_lines capture rig_toml run_toml sweep number_file bench_page; do
        mkdir -p "build-fuzz/found/$target"
        quietly "build-fuzz/tests/fuzz/fuzz_$target" -max_total_time=10 -timeout=10 \
            -artifact_prefix="build-fuzz/found/" "build-fuzz/found/$target" "tests/fuzz/corpus/$target"
        echo "fuzzed $target"
    done
}

optimised_a_little='-O1 -g1 -D_GLIBCXX_ASSERTIONS'
# Of the undefined behaviours those that the address sanitizer doesn't stop at anyway; all of them would double the build.
undefined=shift,integer-divide-by-zero,signed-integer-overflow,float-cast-overflow,bounds,return,unreachable,bool,enum

stage packages packages
stage "house rules" house_rules
stage formatting formatting
stage "build, warnings as errors" build build-release all -DCMAKE_BUILD_TYPE=Release -DLOBEWRIGHT_WERROR=ON
stage tests test_run build-release
stage "build for the address and undefined-behaviour sanitizers" build build-sanitize lobewright_tests \
    -DCMAKE_BUILD_TYPE=RelWithDebInfo -DCMAKE_CXX_FLAGS_RELWITHDEBINFO="$optimised_a_little" \
    -DLOBEWRIGHT_SANITIZE="address,$undefined"
stage "tests under those sanitizers" test_run build-sanitize
stage "thread sanitizer" threads \
    -DCMAKE_BUILD_TYPE=RelWithDebInfo -DCMAKE_CXX_FLAGS_RELWITHDEBINFO="$optimised_a_little"
stage fuzz fuzz
stage lint lint
stage cppcheck cppcheck_all

stage="end"
echo "== all held, $(($(date +%s) - begun)) s; the tests' total once more"
grep -E 'tests passed|tests failed' build-release/ctest.txt
