#!/bin/sh
# SPDX-FileCopyrightText: 2026 The Holdline authors
# SPDX-License-Identifier: GPL-3.0-or-later
# The source as one archive; the same files give the same bytes, wherever and whenever.
#   .package/dist.sh NAME DATE FILE.tar.gz      NAME-VERSION is the folder in it, DATE (2026-01-10) the files' time
set -eu

name=$1
released=$2
archive=$3

# What is in version control; from an archive, what was in it.
listed()
{
    if git rev-parse --is-inside-work-tree >/dev/null 2>&1; then
        git ls-files -z
    else
        find . -name build -prune -o -name 'build-*' -prune -o -type f -printf '%P\0'
    fi
}

mkdir -p "$(dirname "$archive")"
rm -f "$archive"
listed | LC_ALL=C sort -z | tar --create --no-recursion --null --files-from=- --format=ustar \
    --transform="s,^,$name/," --mtime="$released 00:00:00 UTC" --owner=0 --group=0 --numeric-owner \
    --mode=u+rwX,go=rX --file=- | gzip -9n >"$archive.part"
mv "$archive.part" "$archive"
echo "$archive"
