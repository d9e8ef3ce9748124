/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SRC_MEASURE_HOLD_BAND_H
#define HOLDLINE_SRC_MEASURE_HOLD_BAND_H

#include "series.h"

/* The band's statistics, reading by reading. */
struct band_tally {
    struct cue_machine cue;
    struct hold_summary *out;
    double last_s;          /* the reading before; NAN: none */
    double clock_s;         /* valid time since counting began */
    double pending_clock_s; /* clock when the pending position began */
    double pending_peak_mm;
    bool counting, open;
    double open_clock_s, open_peak_mm; /* excursion under way */
    bool running;
    double run_clock_s; /* in-band run under way */
    double in_s;
};
/* summary must live as long, all 0. rate_hz: of the readings. */
void band_tally_start(struct band_tally *tally, const struct cue_settings *settings,
                      double target_mm, double rate_hz, struct hold_summary *summary);
/* The next good reading, which stands for lasts_s: is the posture in the band? counts: it is in the
 * settled part. */
bool band_tally_step(struct band_tally *tally, double time_s, double height_mm, double lasts_s,
                     bool counts);
/* Fills all of the summary's band but how long it lasted. One reading was counted at least. */
void band_tally_end(struct band_tally *tally);

/* The band's statistics by the cue machine's own rules: the machine is run over the series from its
 * beginning (so that its filter has settled) and counted from from_s on. Fills the band part of
 * summary. */
void hold_band(struct series *series, double from_s, const struct cue_settings *settings,
               double target_mm, struct hold_summary *summary);

#endif
