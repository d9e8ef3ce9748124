/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SRC_MEASURE_HOLD_LASTING_H
#define HOLDLINE_SRC_MEASURE_HOLD_LASTING_H

#include <stdbool.h>
#include <stddef.h>

/* How long the band was kept. Readings first..count-1 at time_s; valid_s[i] and in_s[i] are the
 * valid time, and what of it was in the band, before reading i (count + 1 of each). The last
 * reading ends at end_s. */
struct lasting {
    const double *time_s, *valid_s, *in_s;
    size_t first, count;
    double end_s;
};

/* Lost: too little of the time was in the band for SUSTAIN_WINDOW_S, and for SUSTAIN_AFTER_S more;
 * true, and *kept_s is when that began. Else false, and *kept_s is how long it was kept at least:
 * up to the end, or up to where the same began in what was too short, or had too few readings, to
 * tell. */
bool lasting_lost(const struct lasting *lasting, double *kept_s);

#endif
