/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_PROGRESS_H
#define HOLDLINE_APP_PROGRESS_H

#include <stdbool.h>
#include <stdint.h>

/* What is said while something takes over a second, on standard error when it is a terminal; and
 * Ctrl-C, which is taken between two steps, so that nothing is left half done. */
struct progress {
    const char *doing; /* 'copying': changed by the owner as the work goes on */
    int64_t started_us, shown_us;
    bool on_terminal, shown;
    bool stopped; /* the person wanted it to end, and was told so by false */
};

/* SIGINT, SIGTERM and SIGHUP stop the work from here on (app/ending.h). */
void progress_begin(struct progress *progress, const char *doing);
/* share from 0 to 1, NAN where it isn't known. False when the person wants it to end. (Of the type
 * that the store's longer works call.) */
bool progress_tell(void *progress, double share);
/* Clears the line. A signal that came too late to stop the work has its effect now. */
void progress_end(struct progress *progress);

#endif
