/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* make fault-together: SEQUENCES live sessions from SEED on, JOBS at once, in which clock, disk,
 * memory, link and terminal fail together (tests/support/fault_sequence.h). Prints each that broke,
 * and what was done how often. SEQUENCES=1 SEED=123 is that one again. */
#include "support/fault_sequence.h"

#include <stdio.h>
#include <stdlib.h>

static long number(const char *name, long usual)
{
    const char *text = getenv(name);
    return text != NULL && text[0] != '\0' ? strtol(text, NULL, 10) : usual;
}

int main(int argc, char **argv)
{
    struct fault_sequence_counts counts;
    if (argc != 4) {
        fprintf(stderr, "together PROGRAM PRELOADED_LIBRARY SESSIONS_FOLDER\n");
        return 2;
    }
    const struct fault_sequences_wanted wanted = {
        .program = argv[1],
        .shim = argv[2],
        .sessions = argv[3],
        .seed = (uint64_t)number("SEED", 1),
        .count = number("SEQUENCES", 1000),
        .jobs = number("JOBS", 8),
    };
    bool held = fault_sequences_run(&wanted, &counts);
    fault_sequences_print(&counts);
    return held ? EXIT_SUCCESS : EXIT_FAILURE;
}
