#!/bin/sh
# SPDX-FileCopyrightText: 2026 The Holdline authors
# SPDX-License-Identifier: GPL-3.0-or-later
# A compilation database (JSON) on standard output: how each file is compiled, for editors and clangd.
#   .ci/compile_commands.sh 'COMPILER AND FLAGS' FILE...
set -eu
json()
{
    printf '%s' "$1" | sed 's/\\/\\\\/g; s/"/\\"/g'
}
command=$(json "$1")
folder=$(json "$PWD")
shift
between='['
for file; do
    printf '%s\n{"directory": "%s", "file": "%s", "command": "%s -c %s"}' "$between" "$folder" "$file" "$command" "$file"
    between=','
done
printf '\n]\n'
