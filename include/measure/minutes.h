/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_MINUTES_H
#define HOLDLINE_MEASURE_MINUTES_H

#include "measure/hold.h"

/* A long hold by the minute, and by its quarters. */
#define MINUTE_ROW_S 60.0
#define RIDE_QUARTERS 4
struct minute_row {
    double from_s, to_s;  /* of the hold; the last one may be shorter */
    double seen_s, up_s;  /* with good readings in the posture; sat up */
    double mean_mm;       /* NAN: not seen */
    double in_band_share; /* of the time seen in the posture; NAN: none, or no band */
    int cues;             /* that began in it */
};

/* Rows of step_s each; input->cuts are the stretches sat up, in the order of time. The cue machine
 * of settings runs through all of it. Returns how many rows, never over most. */
size_t minutes_make(const struct hold_input *input, const struct hold_settings *settings,
                    double step_s, struct minute_row *rows, size_t most);

/* How the last quarter stands to the first: the rows of both, the trend of the rows' means and its
 * interval, mm an hour. MEASURE_TOO_FEW under 8 rows with a mean. */
struct minutes_course {
    struct minute_row quarter[RIDE_QUARTERS];
    double trend_mm_per_h, trend_low, trend_high;
    bool has_trend;
    double after_mm; /* mean of the rows after a time; NAN: not asked, or not seen */
};
void minutes_course(const struct minute_row *rows, size_t count, struct minutes_course *course);
/* Adds where it was from then on: in the rows that begin there or later. */
void minutes_course_after(const struct minute_row *rows, size_t count, double from_s,
                          struct minutes_course *course);

#endif
