/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_FAULT_MODEL_H
#define HOLDLINE_TESTS_SUPPORT_FAULT_MODEL_H

#include "support/fault_world.h"

#include <stddef.h>

/* What must hold of a session of a fault_world that has ended, however it did:
 *
 *   - it ended by itself where it was not killed, by no signal, within two seconds of being told
 *     (thirty where its disk has failed);
 *   - the store opens, is sound; an earlier session is as it was; the next one can be recorded;
 *   - what is stored was sent: in its order, nothing twice, what lacks between is counted as lost,
 *     and the time between two samples is the rig's, to 0.1 s also across a rig that began anew;
 *   - with exit status 0 every whole line up to the end and every command that was answered with
 *     'done' are stored; with another they are, or are saved beside, or it says what is lost;
 *   - killed, all is there that was sent and answered a quarter of a second before, or before the
 *     disk or the memory failed; and what another program had read in the store by then;
 *   - no half file is left, and nobody else may read what is. */

enum fault_ending {
    ENDING_ASKED,  /* a key or a signal that it may answer */
    ENDING_KILLED, /* by the test */
    ENDING_DIED,   /* at a call, by the shim */
    ENDING_OWN,    /* while nobody had asked */
};

struct fault_seen {
    enum fault_ending ending;
    int64_t asked_us;  /* when it was asked or killed */
    bool in_time;      /* it ended, soon enough */
    int heard;         /* lines when the program had heard some and its store was open; 0: never */
    int64_t committed; /* the last line that was in the store before the end; -1: none known */
    const char *earlier; /* what is said of session 1; NULL: there was none */
};

/* False, and why, where something does not hold. */
bool fault_model_holds(const struct fault_world *world, const struct fault_seen *seen, char *why,
                       size_t size);

/* The last line that a reader finds in the store; -1: none. */
int64_t fault_model_committed(const struct fault_world *world);

#endif
