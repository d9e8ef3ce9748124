/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "gsl_quiet.h"

#include <gsl/gsl_errno.h>

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
        gsl_set_error_handler_off();
        __atomic_store_n(&state, DONE, __ATOMIC_RELEASE);
        return;
    }
    while (__atomic_load_n(&state, __ATOMIC_ACQUIRE) != DONE) {
        ;
    }
}
