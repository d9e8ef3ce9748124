#!/bin/sh
# SPDX-FileCopyrightText: 2026 The Holdline authors
# SPDX-License-Identifier: GPL-3.0-or-later
# make as the first command on a fresh Debian 12 that has only make.
#   tests/fresh/fresh.sh [GOAL...]      goals are 'demo' and 'check' when none are named, a fresh root for each
# Needs root, mmdebstrap (or debootstrap) and this machine's own way to Debian's packages, which is lent to the
# root. The project is copied into the root as last committed; ../shared goes beside it where it is here.
# FRESH_KEEP=1 keeps the roots. Writes nothing outside a folder of its own under TMPDIR.
set -eu

[ $# -gt 0 ] || set -- demo check
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

# The lists and keys of packages as this machine has them.
say "making the root"
if command -v mmdebstrap >/dev/null 2>&1; then
    sources=$(find /etc/apt/sources.list /etc/apt/sources.list.d -name '*.sources' -o -name '*.list' 2>/dev/null || true)
    # shellcheck disable=SC2086 # a list of files
    mmdebstrap --quiet --variant=minbase --include=make bookworm "$work/root.tar" $sources
    mkdir "$work/first" && tar -C "$work/first" -xf "$work/root.tar"
elif command -v debootstrap >/dev/null 2>&1; then
    debootstrap --variant=minbase --include=make bookworm "$work/first" >"$work/debootstrap.log"
    tar -C "$work/first" -cf "$work/root.tar" .
else
    say "install mmdebstrap or debootstrap first"
    exit 1
fi
rm -rf "$work/first"

failed=0
for goal in "$@"; do
    root="$work/$goal"
    mkdir "$root" && tar -C "$root" -xf "$work/root.tar"
    rm -f "$root"/etc/apt/sources.list "$root"/etc/apt/sources.list.d/*
    cp -r /etc/apt/sources.list.d "$root/etc/apt/"
    [ ! -f /etc/apt/sources.list ] || cp /etc/apt/sources.list "$root/etc/apt/"
    apt-config dump | grep -E '^Acquire::(Check|http|https)' >"$root/etc/apt/apt.conf.d/00lent" || true
    cp -L /etc/resolv.conf /etc/hosts "$root/etc/"
    mount -t proc proc "$root/proc" && mounted="$root/proc $mounted"
    mkdir -p "$root/dev/pts"
    mount -t devpts -o newinstance,ptmxmode=0666 devpts "$root/dev/pts" && mounted="$root/dev/pts $mounted"
    ln -sf pts/ptmx "$root/dev/ptmx"
    mkdir -p "$root/srv/holdline"
    git -C "$project" archive HEAD | tar -C "$root/srv/holdline" -xf -
    [ ! -d "$project/../shared" ] || cp -r "$project/../shared" "$root/srv/shared"

    # shellcheck disable=SC2016 # for the shell in the root
    say "in the root there is: $(chroot "$root" sh -c 'for program in make cc gcc pkg-config perl python3 git; do
        command -v $program >/dev/null && printf "%s " $program; done')"
    started=$(date +%s)
    status=0
    chroot "$root" env -i HOME=/root PATH=/usr/sbin:/usr/bin:/sbin:/bin CI="${CI:-}" \
        sh -c "cd /srv/holdline && make $goal" </dev/null >"$work/$goal.log" 2>&1 || status=$?
    say "make $goal: exit status $status after $(($(date +%s) - started)) s; what failed or was skipped, the last lines:"
    grep -aE '^[^ ]+:[0-9]+:[FE]:|^skipped: ' "$work/$goal.log" | sort | uniq -c | sed 's/^/    /' || true
    tail -n 25 "$work/$goal.log" | sed 's/^/    /'
    [ "$status" -eq 0 ] || failed=1
    [ -x "$root/srv/holdline/build/holdline" ] || { say "no build/holdline"; failed=1; }
done
exit "$failed"
