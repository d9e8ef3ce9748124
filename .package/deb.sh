#!/bin/sh
# SPDX-FileCopyrightText: 2026 The Holdline authors
# SPDX-License-Identifier: GPL-3.0-or-later
# A Debian package from the source's archive, looked at by lintian; it is left beside the archive.
#   .package/deb.sh ARCHIVE.tar.gz VERSION DATE 'PACKAGES TO BUILD' 'PACKAGES LOADED WHEN WANTED'
set -eu

archive=$1
version=$2
released=$3
comma()
{
    printf '%s' "$1" | tr -s ' ' '\n' | paste -sd, | sed 's/,/, /g'
}

work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
trap 'exit 130' INT TERM
tar -C "$work" -xf "$archive"
tree=$(find "$work" -mindepth 1 -maxdepth 1 -type d)
cp -r "$tree/.package/debian" "$tree/debian"
sed -i "s/@BUILD_DEPENDS@/$(comma "$4")/; s/@RECOMMENDS@/$(comma "$5")/" "$tree/debian/control"
SOURCE_DATE_EPOCH=$(date -u -d "$released 00:00:00 UTC" +%s)
export SOURCE_DATE_EPOCH
cat >"$tree/debian/changelog" <<EOF
holdline ($version) unstable; urgency=medium

  * What is new stands in /usr/share/doc/holdline/NEWS.

 -- The Holdline authors <authors@holdline.org>  $(date -u -R -d "@$SOURCE_DATE_EPOCH")
EOF

if ! (cd "$tree" && dpkg-buildpackage -us -uc -b) >"$work/log" 2>&1; then
    tail -n 40 "$work/log"
    echo "deb: the package was not built"
    exit 1
fi
cp "$work"/holdline_*.deb "$(dirname "$archive")/"
lintian --fail-on error,warning --tag-display-limit 0 "$work"/*.changes
echo "$(dirname "$archive")/$(cd "$work" && echo holdline_*.deb)"
