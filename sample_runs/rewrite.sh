#!/bin/sh
# Writes every run here again from rig/model/sample_runs.cpp. Run twice, it changes nothing: git diff stays empty.
# Usage: sh sample_runs/rewrite.sh [build folder, ./build unless given]
set -eu
here=$(cd "$(dirname "$0")" && pwd)
build=${1:-"$here/../build"}
[ -f "$build/CMakeCache.txt" ] || cmake -S "$here/.." -B "$build"
cmake --build "$build" --target write_sample_runs
"$build/rig/write_sample_runs" "$here"
