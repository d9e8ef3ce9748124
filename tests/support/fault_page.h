/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_FAULT_PAGE_H
#define HOLDLINE_TESTS_SUPPORT_FAULT_PAGE_H

#include <stdatomic.h>

/* What of a program's calls fails (tests/preload/faults.c). Where a test shares the page with the
 * program (HOLDLINE_FAULT_PAGE names the file) it turns the switches while the program runs. */

enum fault_as {
    FAULT_ONCE,  /* that call alone */
    FAULT_GOOD,  /* it and all behind it */
    FAULT_FULL,  /* it and all behind it that need room, as on a full disk */
    FAULT_SHORT, /* from it on, half of each write is done */
    FAULT_DIES,  /* the program is killed there; of a write, half is done */
};

struct fault_switch {
    atomic_int as;
    atomic_long at;     /* the number of the call that fails, from 1; 0: none */
    atomic_long calls;  /* so far */
    atomic_long failed; /* of them */
    char name[24];      /* of the first that did */
};

struct fault_page {
    struct fault_switch memory, disk;
    /* The clocks are ahead of the machine's by so much. */
    atomic_llong monotonic_us, wall_us;
};

#endif
