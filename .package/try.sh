#!/bin/sh
# SPDX-FileCopyrightText: 2026 The Holdline authors
# SPDX-License-Identifier: GPL-3.0-or-later
# Installs a package, uses what it brought, takes it away again, and looks for what was left. For a root that can be
# thrown away (tests/fresh/fresh.sh deb does this). Needs root.
#   .package/try.sh FILE.deb
set -eu

package=$1
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
export HOME="$work" LC_ALL=C.UTF-8

wanted()
{
    "$@" >"$work/said" 2>&1 || {
        echo "not as wanted: $*"
        cat "$work/said"
        exit 1
    }
}

DEBIAN_FRONTEND=noninteractive apt-get -q install -y "$(readlink -f "$package")" >"$work/apt" 2>&1 ||
    { cat "$work/apt"; exit 1; }
dpkg -L holdline | while read -r path; do [ ! -f "$path" ] || echo "$path"; done >"$work/files"
wanted test -s "$work/files"
cd "$work"
wanted holdline --version
wanted holdline demo --headless
wanted holdline list --store holdline-demo-scripted.db
wanted holdline export last report.pdf --store holdline-demo-scripted.db
wanted test -s report.pdf
wanted holdline --help
documents=$(holdline --help | sed -n 's,.*docs/ is in \([^ ]*\) .*,\1,p')
wanted test -f "$documents/docs/first-session.md"
wanted appstreamcli validate --no-net /usr/share/metainfo/org.holdline.holdline.metainfo.xml
wanted desktop-file-validate /usr/share/applications/holdline.desktop
wanted grep -q uaccess /usr/lib/udev/rules.d/60-holdline.rules

DEBIAN_FRONTEND=noninteractive apt-get -q purge -y holdline >"$work/apt" 2>&1 || { cat "$work/apt"; exit 1; }
left=$(while read -r path; do [ ! -e "$path" ] || echo "$path"; done <"$work/files")
[ -z "$left" ] || { echo "left behind:"; echo "$left"; exit 1; }
echo "package: installed, used and taken away: $(wc -l <"$work/files") files, none left"
