/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_ANALYSIS_RIDE_SUMMARY_H
#define HOLDLINE_ANALYSIS_RIDE_SUMMARY_H

#include "analysis/analysis.h"

/* What is told of a ride that is over: its quarters, how long the band was kept, where the posture
 * settled then, its trend. */
struct ride_quarter {
    double from_s, to_s, seen_s, up_s; /* as struct minute_row */
    double in_band_share; /* of the time seen in the posture; NAN: no band, not tied, not seen */
    double off_mm;        /* mean less target; NAN: no target, not tied, not seen */
    int cues;
};
struct ride_part {
    char name[CHANNEL_NAME_SIZE];
    struct ride_quarter quarter[RIDE_QUARTERS];
    double kept_s;  /* until the band was lost; NAN: there is none, or no tie */
    bool at_least;  /* it was not lost */
    double then_mm; /* mean less target from there on; NAN: not lost */
    bool has_trend;
    double trend_mm_per_h, trend_low, trend_high;
};
struct ride_summary {
    int hold; /* its number */
    double length_s, up_s, posture_share;
    int up_times, channel_count; /* of the body */
    struct ride_part channel[CHANNELS_MAX];
};

/* False: that hold is no ride, or not over, or too short for quarters. */
bool ride_summary_of(const struct session_record *record, const struct analysis *analysis, int hold,
                     struct ride_summary *summary);

#endif
