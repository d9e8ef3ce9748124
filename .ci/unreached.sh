#!/bin/sh
# SPDX-FileCopyrightText: 2026 The Holdline authors
# SPDX-License-Identifier: GPL-3.0-or-later
# The lines of base to say with a branch that no test went, from the counts of .ci/coverage.sh, each with the
# reason where one is known: tests/coverage/reasons.txt has 'piece of the line, as a pattern of awk<TAB>reason', the
# first that fits counts. Prints how many there are of each reason; the lines themselves go to BUILD/unreached.txt.
#   .ci/unreached.sh BUILD
set -eu
build=$1
layers="base measure bike rig record analysis say"
awk -v root="$PWD/" -v wanted=" $layers " -v reasons=tests/coverage/reasons.txt '
    BEGIN {
        while ((getline line <reasons) > 0) {
            if (line !~ /^#/ && split(line, part, "\t") == 2) {
                count++
                pattern[count] = part[1]
                reason[count] = part[2]
            }
        }
    }
    /^SF:/ {
        file = substr($0, 4)
        sub(root, "", file)
        split(file, part, "/")
        use = index(wanted, " " part[2] " ") > 0
        split("", text)
        number = 0
        while (use && (getline line <(root file)) > 0) {
            text[++number] = line
        }
        if (use) {
            close(root file)
        }
    }
    use && /^BRDA:/ {
        split(substr($0, 6), part, ",")
        branches++
        if (part[4] == "-" || part[4] == 0) {
            not_taken++
            at = part[1]
            if (!((file, at) in seen)) {
                seen[file, at] = 1
                lines++
                why = "not looked at yet"
                for (i = 1; i <= count; i++) {
                    if (text[at] ~ pattern[i]) {
                        why = reason[i]
                        break
                    }
                }
                of[why]++
                line = text[at]
                sub(/^ +/, "", line)
                print file ":" at ": " line "  [" why "]" >list
            }
        }
    }
    END {
        printf "base to say: %d of %d branches not taken, on %d lines\n", not_taken, branches, lines
        for (why in of) {
            printf "  %5d lines: %s\n", of[why], why
        }
    }' list="$build/unreached.txt" "$build/src.info"
echo "lines: $build/unreached.txt"
