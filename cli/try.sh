#!/bin/sh
# From a bare Debian 12 to a first look: installs what the build needs, builds lobewright in build/, and compares an
# invented sample cam as it was new with what became of it. What the program prints is kept in build/try/.
# Usage: sh cli/try.sh
set -eu
cd "$(dirname "$0")/.."
. cli/packages.sh

program=build/cli/lobewright
out=build/try

echo "[1/3] packages"
need g++ cmake ninja-build libeigen3-dev libfmt-dev libboost-dev libtomlplusplus-dev libcli11-dev nlohmann-json3-dev \
    libserialport-dev pkg-config duktape-dev
npm_there

echo "[2/3] building $program"
# A build folder that is there already keeps its settings.
[ -f build/CMakeCache.txt ] || quietly cmake -G Ninja -S . -B build -DCMAKE_BUILD_TYPE=Release -DCMAKE_UNITY_BUILD=ON \
    -DLOBEWRIGHT_TESTS=OFF
cmake --build build --parallel "$(nproc)" --target lobewright

echo "[3/3] comparing sample runs: invented and simulated, see sample_runs/README.md"

# show USED STATUS MEANING: compares a sample run with its new condition; STATUS is the exit status that is due.
show() {
    reference=sample_runs/launch-4-new used=sample_runs/$1 kept=$out/$1 status=0
    printf '\n$ lobewright compare %s %s\n\n' "$reference" "$used"
    "$program" compare "$reference" "$used" --csv "$kept-curves" --report "$kept.html" --overwrite \
        >"$kept.txt" || status=$?
    cat "$kept.txt"
    [ "$status" -eq "$2" ] || give_up "exit status $status where $2 was due"
    "$program" compare "$reference" "$used" --json >"$kept.json" || true # judged the same once more
    printf '\nexit status %s: %s\n' "$status" "$3"
}

mkdir -p "$out"
show launch-4-used-nose 0 "fit to reuse"
show launch-4-used-wiped 1 "judged, and not fit (2 would say: can't be judged, measure again)"

cat <<END

It works. $out/ keeps, for either cam, the report for a browser (.html), the text above (.txt), the same as one JSON
object (.json), and the lift, taper and wear around each lobe (-curves/*.csv). Go on with:
  $program compare sample_runs/launch-4-new sample_runs/launch-4-used-wiped --lobe 3E
  $program --help
END
