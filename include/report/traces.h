/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_REPORT_TRACES_H
#define HOLDLINE_REPORT_TRACES_H

#include "report/report.h"

/* The holds of a session as means over whole seconds, for pictures. */
struct trace {
    int seconds;              /* 0: nothing there */
    double *mm[CHANNELS_MAX]; /* mean of the good readings of each second, NAN under half of them */
};
struct traces {
    int hold_count;
    struct trace hold[HOLDS_MAX];
};

/* NULL with a problem; the caller frees it. */
struct traces *traces_make(const struct report_input *input, sample_source *source, void *context,
                           struct problem *problem);
void traces_free(struct traces *traces);

#endif
