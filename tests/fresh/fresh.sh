#!/bin/sh
# SPDX-FileCopyrightText: 2026 The Holdline authors
# SPDX-License-Identifier: GPL-3.0-or-later
# make as the first command on a fresh Debian 12 that has only make.
#   tests/fresh/fresh.sh [GOAL...]      goals are 'demo' and 'check' when none are named, a fresh root for each; after
#                                       'deb' the package is tried in another fresh root (.package/try.sh)
#   FRESH_SUITE=trixie tests/fresh/fresh.sh     on Debian 13
# Needs root, mmdebstrap (or debootstrap) and this machine's own way to Debian's packages, which is lent to the
# root. The project is copied into the root as last committed; ../shared goes beside it where it is here.
# FRESH_KEEP=1 keeps the roots. Writes nothing outside a folder of its own under TMPDIR.
set -eu

[ $# -gt 0 ] || set -- demo check
suite=${FRESH_SUITE:-bookworm}
project=$(cd "$(dirname "$0")/../.." && pwd)
work=$(mktemp -d "${TMPDIR:-/tmp}/fresh.XXXXXX")
mounted=""

# shellcheck disable=SC2317 # called by the traps
leave()
{
    for place in $mounted; do
        umount "$place" || umount -l "$place" || true
    done
    mounted=""
    if [ "${FRESH_KEEP:-0}" = 1 ]; then
        echo "fresh: kept in $work"
    else
        rm -rf --one-file-system "$work"
    fi
}
trap leave EXIT
trap 'exit 130' INT TERM

say()
{
    echo "fresh: $*"
}

[ "$(id -u)" -eq 0 ] || { say "this takes root (chroot, mount)"; exit 1; }

# The lists and keys of packages as this machine has them, for the suite that is wanted.
say "making the root of $suite"
mkdir "$work/lists"
for file in /etc/apt/sources.list /etc/apt/sources.list.d/*; do
    [ ! -f "$file" ] || sed "s/bookworm/$suite/g" "$file" >"$work/lists/${file##*/}"
done
if command -v mmdebstrap >/dev/null 2>&1; then
    mmdebstrap --quiet --variant=minbase --include=make "$suite" "$work/root.tar" "$work"/lists/*
    mkdir "$work/first" && tar -C "$work/first" -xf "$work/root.tar"
elif command -v debootstrap >/dev/null 2>&1; then
    debootstrap --variant=minbase --include=make "$suite" "$work/first" >"$work/debootstrap.log"
    tar -C "$work/first" -cf "$work/root.tar" .
else
    say "install mmdebstrap or debootstrap first"
    exit 1
fi
rm -rf "$work/first"

# A root with this machine's way to the packages, /proc and terminals.
fresh_root()
{
    mkdir "$1" && tar -C "$1" -xf "$work/root.tar"
    rm -f "$1"/etc/apt/sources.list "$1"/etc/apt/sources.list.d/*
    cp "$work"/lists/*.sources "$work"/lists/*.list "$1/etc/apt/sources.list.d/" 2>/dev/null || true
    apt-config dump | grep -E '^Acquire::(Check|http|https)' >"$1/etc/apt/apt.conf.d/00lent" || true
    cp -L /etc/resolv.conf /etc/hosts "$1/etc/"
    mount -t proc proc "$1/proc" && mounted="$1/proc $mounted"
    mkdir -p "$1/dev/pts"
    mount -t devpts -o newinstance,ptmxmode=0666 devpts "$1/dev/pts" && mounted="$1/dev/pts $mounted"
    ln -sf pts/ptmx "$1/dev/ptmx"
}

in_root()
{
    chroot "$1" env -i HOME=/root PATH=/usr/sbin:/usr/bin:/sbin:/bin CI="${CI:-}" sh -c "$2" </dev/null
}

failed=0
for goal in "$@"; do
    root="$work/$goal"
    fresh_root "$root"
    mkdir -p "$root/srv/holdline"
    git -C "$project" archive HEAD | tar -C "$root/srv/holdline" -xf -
    [ ! -d "$project/../shared" ] || cp -r "$project/../shared" "$root/srv/shared"

    # shellcheck disable=SC2016 # for the shell in the root
    say "in the root there is: $(chroot "$root" sh -c 'for program in make cc gcc pkg-config perl python3 git; do
        command -v $program >/dev/null && printf "%s " $program; done')"
    started=$(date +%s)
    status=0
    in_root "$root" "cd /srv/holdline && make $goal" >"$work/$goal.log" 2>&1 || status=$?
    say "make $goal: exit status $status after $(($(date +%s) - started)) s; what failed or was skipped, the last lines:"
    grep -aE '^[^ ]+:[0-9]+:[FE]:|^skipped: ' "$work/$goal.log" | sort | uniq -c | sed 's/^/    /' || true
    tail -n 25 "$work/$goal.log" | sed 's/^/    /'
    [ "$status" -eq 0 ] || failed=1
    if [ "$goal" = deb ]; then
        fresh_root "$work/user"
        cp "$root"/srv/holdline/build/*.deb "$project/.package/try.sh" "$work/user/srv/" || { failed=1; continue; }
        in_root "$work/user" "apt-get -q update && apt-get -q install -y appstream desktop-file-utils &&
            /srv/try.sh /srv/holdline_*.deb" >"$work/try.log" 2>&1 || failed=1
        tail -n 5 "$work/try.log" | sed 's/^/    /'
    elif [ ! -x "$root/srv/holdline/build/holdline" ]; then
        say "no build/holdline"
        failed=1
    fi
done
exit "$failed"
