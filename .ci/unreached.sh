#!/bin/sh
# SPDX-FileCopyrightText: 2026 The Holdline authors
# SPDX-License-Identifier: GPL-3.0-or-later
# The lines of base to say with a branch that no test of the suite went, from the counts of .ci/coverage.sh, each with
# the reason where one is known (tests/coverage/reasons.txt, which says how they are written). Prints branches and lines
# layer by layer, how many lines there are of each reason, and the reasons that fit no line any more; the lines
# themselves go to BUILD/unreached.txt, those without a reason first.
#   .ci/unreached.sh BUILD
set -eu
build=$1
awk -v root="$PWD/" -v layers="base measure bike rig record analysis say" -v reasons=tests/coverage/reasons.txt '
    function set_up(    line, at, value, at_file, given) {
        layer_count = split(layers, layer, " ")
        while ((getline line <reasons) > 0) {
            at = index(line, ": ")
            if (line ~ /^#/ || at == 0) {
                continue
            }
            value = substr(line, at + 2)
            if (line ~ /^file: /) {
                at_file = value
            } else if (line ~ /^(text|like): / && at_file != "") {
                where[++count] = at_file
                pattern[count] = value
                exact[count] = line ~ /^text/
                most[count] = 1
            } else if (line ~ /^branches: / && count > given) {
                most[count] = value
            } else if (line ~ /^reason: / && count > given) {
                while (given < count) {
                    reason[++given] = value
                }
            } else {
                print reasons ": what is this? " line
                failed = 1
            }
        }
        if (given < count) {
            print reasons ": the last entry has no reason"
            failed = 1
        }
    }
    # Is the only branch that was not tried of a switch the way past all its cases? It is the last where none of
    # them is default.
    function is_past_all(at, number,    blank, i) {
        if (missed[at] != 1 || !last_missed[at] || text[at] !~ /^ *switch \(/) {
            return 0
        }
        blank = substr(text[at], 1, match(text[at], /[^ ]/) - 1)
        for (i = at + 1; i <= number && text[i] != blank "}"; i++) {
            if (text[i] ~ ("^" blank "default:")) {
                return 0
            }
        }
        return 1
    }
    # The entry that explains a line: it fits, with at most so many of its branches as the entry says.
    function why(file, line, missed, past,    i) {
        for (i = 1; i <= count; i++) {
            if (index(file, where[i]) == 1 && (most[i] == "past" ? past : missed <= most[i] + 0) &&
                (exact[i] ? pattern[i] == line : line ~ ("^(" pattern[i] ")$"))) {
                used[i]++
                return i
            }
        }
        return 0
    }
    # All of one file, in the order of its lines.
    function end_of_file(    line, number, last, i) {
        split("", text)
        while (looked_at && (getline line <(root file)) > 0) {
            text[++last] = line
        }
        for (number = 1; number <= last; number++) {
            if (missed[number] > 0) {
                line = text[number]
                sub(/^[ \t]+/, "", line)
                i = why(file, line, missed[number], is_past_all(number, last))
                lines[of]++
                explained[of] += i > 0
                line = sprintf("%s:%d: [%d of %d] %s", file, number, missed[number], all[number], line)
                if (i > 0) {
                    with[++with_count] = line "  [" reason[i] "]"
                } else {
                    print line >list
                }
            }
        }
        close(root file)
        split("", missed)
        split("", all)
        split("", last_missed)
        looked_at = 0
    }
    BEGIN { set_up() }
    /^SF:/ {
        file = substr($0, 4)
        sub(root, "", file)
        split(file, part, "/")
        of = part[2]
        looked_at = index(" " layers " ", " " of " ") > 0
    }
    looked_at && /^BRDA:/ {
        split(substr($0, 6), part, ",")
        not_taken = part[4] == "-" || part[4] == 0
        all[part[1]]++
        missed[part[1]] += not_taken
        last_missed[part[1]] = not_taken
        branches[of]++
        untried[of] += not_taken
    }
    /^end_of_record/ { end_of_file() }
    END {
        for (i = 1; i <= with_count; i++) {
            print with[i] >list
        }
        layer[++layer_count] = "together"
        for (i = 1; i <= layer_count; i++) {
            l = layer[i]
            printf "%-9s %5d of %5d branches tried (%.1f %%); untried on %4d lines, %4d with a reason, %4d without\n", l,
                branches[l] - untried[l], branches[l], 100 * (branches[l] - untried[l]) / (branches[l] + !branches[l]),
                lines[l], explained[l], lines[l] - explained[l]
            branches["together"] += branches[l]
            untried["together"] += untried[l]
            lines["together"] += lines[l]
            explained["together"] += explained[l]
        }
        for (i = 1; i <= count; i++) {
            by[reason[i]] += used[i]
            if (!used[i]) {
                print "fits nothing any more: " where[i] ": " pattern[i]
            }
        }
        for (r in by) {
            printf "  %5d lines: %s\n", by[r], r
        }
        exit failed
    }' list="$build/unreached.txt" "$build/src.info"
echo "lines: $build/unreached.txt"
