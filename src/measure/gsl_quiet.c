/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "gsl_quiet.h"

#include "base/memory.h"

#include <gsl/gsl_errno.h>

/* What its routines give back is looked at where they are called, but not what they could not
 * have. */
static void note(const char *reason, const char *file, int line, int code)
{
    (void)reason;
    (void)file;
    (void)line;
    if (code == GSL_ENOMEM) {
        memory_note_lack();
    }
}

enum { NOT_YET, UNDER_WAY, DONE };

void gsl_quiet(void)
{
    /* The one static of this layer: it says only whether the library's own switch was thrown. */
    static int state = NOT_YET;
    if (__atomic_load_n(&state, __ATOMIC_ACQUIRE) == DONE) {
        return;
    }
    int expected = NOT_YET;
    if (__atomic_compare_exchange_n(&state, &expected, UNDER_WAY, 0, __ATOMIC_ACQ_REL,
                                    __ATOMIC_ACQUIRE)) {
        gsl_set_error_handler(note);
        __atomic_store_n(&state, DONE, __ATOMIC_RELEASE);
        return;
    }
    while (__atomic_load_n(&state, __ATOMIC_ACQUIRE) != DONE) {
        ;
    }
}
