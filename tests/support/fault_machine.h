/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_FAULT_MACHINE_H
#define HOLDLINE_TESTS_SUPPORT_FAULT_MACHINE_H

#include <stdbool.h>
#include <stddef.h>

/* The real program with one call of memory or disk failing (tests/preload/faults.c), command by
 * command on a short session, and what must hold afterwards whatever failed:
 *
 *   - it ends by itself, within some seconds, by no signal;
 *   - with exit status 0 everything it printed and wrote is what it is without the fault;
 *   - with another it says why, and leaves no half file;
 *   - the store opens, is sound, has the earlier session as it was and of the new one a beginning;
 *   - the next session can be recorded there. */

struct fault {
    const char *kind; /* "memory", "disk" */
    const char *as;   /* "once", "good", "full", "short": see the preloaded file */
    long at;          /* the number of the call, from 1 */
};

enum fault_verdict {
    FAULT_NOT_REACHED, /* there are fewer calls */
    FAULT_NO_MATTER,   /* exit status 0, and all as without it */
    FAULT_TOLD,        /* exit status not 0, a sentence, nothing half */
    FAULT_CRASH,
    FAULT_HANG,
    FAULT_SILENT,    /* exit status 0, and something is missing or other */
    FAULT_MUTE,      /* no sentence */
    FAULT_HALF_FILE, /* a half file, or a file of its own left */
    FAULT_UNSOUND,   /* the store is unsound, or the earlier session is another */
    FAULT_LOCKED_OUT /* the next session could not be recorded */
};
#define FAULT_VERDICTS (FAULT_LOCKED_OUT + 1)
extern const char *const fault_verdict_words[FAULT_VERDICTS];

struct fault_case {
    const char *name;
    const char *arguments[12]; /* of the program; the store is s.db in the folder */
    const char *before;        /* what lies there: "nothing", "a session", "two sessions" */
    bool changes;              /* the store */
    bool disk_only;            /* the libraries of pages end the program where memory lacks */
};
extern const struct fault_case fault_cases[];
extern const int fault_case_count;

struct fault_machine;

/* A folder of its own below /tmp with the sessions; what a command gives without a fault is kept
 * there when it is first asked for. sessions: the project's folder of that name; shim: the
 * preloaded library. Ends the process with a sentence where it can't be made. */
struct fault_machine *fault_machine_create(const char *program, const char *shim,
                                           const char *sessions);
void fault_machine_destroy(struct fault_machine *machine);

/* How many calls of the kind the case makes (now: when data are committed hangs on the clock). */
long fault_machine_calls(struct fault_machine *machine, const struct fault_case *one,
                         const char *kind);

/* why: what was found, with the command to see it again, where the verdict is a bad one. */
enum fault_verdict fault_machine_try(struct fault_machine *machine, const struct fault_case *one,
                                     const struct fault *fault, char *why, size_t size);

bool fault_is_bad(enum fault_verdict verdict);

#endif
