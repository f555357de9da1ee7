#!/bin/sh
# Holds the package against a bare Debian 12: it installs with what it depends on, compares the sample it brings, and taking it
# off leaves nothing behind. Run by hand: needs root, debootstrap, and a mirror (the one that apt is set to). A minute or two.
# Usage: sh tests/package/deb_in_debian.sh BUILD-FOLDER    (a whole build; runs cpack in it)
set -eu
build=$(cd "$1" && pwd)
root=$(mktemp -d /tmp/lobewright-deb.XXXXXX)
chmod 755 "$root"  # apt fetches as a user of its own
trap 'rm -rf "$root"' EXIT
trap 'exit 130' INT TERM

give_up() {
    echo "$0: $*" >&2
    exit 1
}

inside() {
    chroot "$root" env DEBIAN_FRONTEND=noninteractive LC_ALL=C.UTF-8 PATH=/usr/sbin:/usr/bin:/sbin:/bin "$@"
}

# Every path but what apt and dpkg themselves keep books in.
paths() {
    (cd "$root" && find . -path ./proc -prune -o -path ./var/lib/dpkg -prune -o -path ./var/lib/apt -prune -o \
        -path ./var/cache -prune -o -path ./var/log -prune -o -path ./tmp -prune -o -print | sort)
}

(cd "$build" && cpack) >"$build/cpack.txt" 2>&1 || give_up "cpack failed"
debootstrap --variant=minbase bookworm "$root" "${MIRROR:-http://deb.debian.org/debian}" >"$build/debootstrap.txt" ||
    give_up "debootstrap failed, see $build/debootstrap.txt"
[ ! -f /etc/apt/apt.conf ] || cp /etc/apt/apt.conf "$root/etc/apt/"
cp /etc/apt/apt.conf.d/*proxy* "$root/etc/apt/apt.conf.d/" 2>/dev/null || true
cp "$build"/lobewright_*.deb "$root/tmp/"
inside apt-get -q update >/dev/null
paths >"$build/before.txt"

inside sh -c 'apt-get -qy -o Dpkg::Use-Pty=0 --no-install-recommends install /tmp/lobewright_*.deb' >/dev/null || give_up "it doesn't install"
inside lobewright --version
status=0
inside sh -c 'cd /usr/share/lobewright/sample_runs && lobewright compare launch-4-new launch-4-used-wiped' \
    >"$build/compared.txt" || status=$?
[ "$status" -eq 1 ] || give_up "compare ended with status $status, not 1 (not fit)"
head -n 2 "$build/compared.txt"

inside apt-get -qy -o Dpkg::Use-Pty=0 purge --autoremove lobewright >/dev/null
paths >"$build/after.txt"
left=$(comm -13 "$build/before.txt" "$build/after.txt")
[ -z "$left" ] || give_up "left behind: $left"
echo "installed, compared, taken off, nothing left behind"
