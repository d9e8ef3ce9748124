#!/bin/sh
# SPDX-FileCopyrightText: 2026 The Holdline authors
# SPDX-License-Identifier: GPL-3.0-or-later
# Sees that the packages named are installed, and installs those that are missing; with --ask it only names them.
#   .ci/deps.sh [--ask] PACKAGE...
# Debian's names. One dpkg query when nothing is missing. On another system nothing is installed: where the
# compiler or a library is not found, the packages are named and the exit status is 1.
set -u

say()
{
    echo "deps: $*" >&2
}

ask=no
if [ "${1:-}" = --ask ]; then
    ask=yes
    shift
fi

if ! command -v dpkg-query >/dev/null 2>&1; then
    if command -v "${CC:-cc}" >/dev/null 2>&1 && command -v msgfmt >/dev/null 2>&1 &&
        pkg-config --exists ncursesw libserialport sqlite3 minizip gsl expat check vterm pangocairo librsvg-2.0 2>/dev/null; then
        exit 0
    fi
    say "this is not a Debian system, and something that is needed was not found."
    say "Install what your system calls these packages of Debian, then try again:"
    say "  $*"
    exit 1
fi

installed=$(dpkg-query -W -f='${db:Status-Status} ${Package}\n' "$@" 2>/dev/null |
    sed -n 's/^installed //p')
missing=""
for package in "$@"; do
    case "
$installed
" in
    *"
$package
"*) ;;
    *) missing="$missing $package" ;;
    esac
done
[ -n "$missing" ] || exit 0
if [ "$ask" = yes ]; then
    say "these packages are missing:$missing"
    say "'make deps' installs them ('make demo' and 'make check' do so, too)"
    exit 1
fi

# Package names hold no blanks: the list is split on purpose from here on.
# Whether sudo gives the right is asked once, before anything else is said or tried.
as_root=""
if [ "$(id -u)" -ne 0 ]; then
    if command -v sudo >/dev/null 2>&1 && sudo -v </dev/null; then
        as_root="sudo"
    else
        say "these packages are missing, and installing them takes root:"
        say "  apt-get update && apt-get install --no-install-recommends$missing"
        exit 1
    fi
fi

apt()
{
    # shellcheck disable=SC2086
    $as_root env DEBIAN_FRONTEND=noninteractive apt-get -q -o DPkg::Lock::Timeout=300 "$@" </dev/null >&2
}

say "installing$missing"
# A list that cannot be renewed may still do: only the installing decides.
apt update || say "the package lists could not be renewed; trying with those that are there"
# shellcheck disable=SC2086
if ! apt install -y --no-install-recommends $missing; then
    say "not installed. As root:"
    say "  apt-get update && apt-get install --no-install-recommends$missing"
    exit 1
fi
