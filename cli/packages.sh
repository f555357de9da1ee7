# shellcheck shell=sh
# packages.sh: sourced by cli/try.sh and tests/run.sh. `need PACKAGE...` installs what isn't there yet, as root or
# through sudo. Asks nothing; when nothing is missing it doesn't touch apt at all.

need() {
    command -v dpkg-query >/dev/null || give_up "these scripts know Debian 12 only; elsewhere install $* and use cmake"
    missing=""
    for package in "$@"; do
        case $(dpkg-query -W -f '${db:Status-Abbrev}' "$package" 2>/dev/null) in
            ?i*) ;;
            *) missing="$missing $package" ;;
        esac
    done
    if [ -z "$missing" ]; then
        echo "all there already"
        return
    fi
    echo "installing$missing"
    if [ "$(id -u)" -eq 0 ]; then
        as_root=""
    elif command -v sudo >/dev/null; then
        as_root=sudo
    else
        give_up "installing needs root: run this as root, or install sudo, or have these installed:$missing"
    fi
    quietly $as_root apt-get -q update
    # shellcheck disable=SC2086  # a list of words
    quietly $as_root env DEBIAN_FRONTEND=noninteractive apt-get -qy --no-install-recommends install $missing
}

# npm, from wherever it came.
npm_there() {
    command -v npm >/dev/null || need nodejs npm
}

# Runs a command whose output matters only when it fails.
quietly() {
    said=$(mktemp)
    if ! "$@" >"$said" 2>&1 </dev/null; then
        tail -n 30 "$said" >&2
        rm -f "$said"
        give_up "this failed, its last words are above: $*"
    fi
    rm -f "$said"
}

give_up() {
    echo "$0: $*" >&2
    exit 1
}
