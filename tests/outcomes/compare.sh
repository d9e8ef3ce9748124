#!/bin/sh
# SPDX-FileCopyrightText: 2026 The Holdline authors
# SPDX-License-Identifier: GPL-3.0-or-later
# What does a change move? Runs tests/outcomes/ of another revision and of the tree as it stands, and sets what they
# wrote side by side: each line of the difference is meant, or a fault.
#   sh tests/outcomes/compare.sh REVISION FOLDER PROGRAM...   as 'make outcomes BASE=REVISION' does
set -eu
revision=$1 folder=$2
shift 2
run()
{
    mkdir -p "$folder/$1"
    rm -f "$folder/$1"/*
    into=$(cd "$folder/$1" && pwd)
    shift
    for program in "$@"; do
        HOLDLINE_OUTCOMES=$into "$program" >"$folder/said" 2>&1 || { cat "$folder/said"; exit 1; }
    done
}
rm -rf "$folder/source"
mkdir -p "$folder/source"
git archive "$revision" | tar -x -C "$folder/source"
if ! [ -d "$folder/source/tests/outcomes" ]; then
    echo "$revision has no tests/outcomes"
    exit 2
fi
run here "$@"
make -C "$folder/source" BUILD=build outcome-programs >"$folder/said" 2>&1 || { cat "$folder/said"; exit 1; }
programs=$(find "$folder/source/build/tests/outcomes" -type f -perm -u+x)
# shellcheck disable=SC2086 # each is a word
run there $programs
if diff -r -U0 "$folder/there" "$folder/here" >"$folder/moved"; then
    echo "nothing moved since $revision"
else
    cat "$folder/moved"
    echo "$(grep -c '^+[^+]' "$folder/moved") lines are other than at $revision"
fi
