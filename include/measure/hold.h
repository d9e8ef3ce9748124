/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_HOLD_H
#define HOLDLINE_MEASURE_HOLD_H

#include "measure/cue.h"
#include "measure/status.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Summary of one channel of one hold (docs/measures.md, 'One hold'). Everything in
 * heights (or, for an untied stream, in whatever the caller's millimetres are, up positive). */
struct hold_cut {
    double from_s, to_s; /* a stretch the fitter marked, left out */
};

struct hold_input {
    const double *time_s;    /* ascending, from the hold's start */
    const double *height_mm; /* any value where invalid */
    const uint8_t *valid;    /* 1 = good reading */
    size_t count;
    uint64_t lost;     /* samples lost by sequence within the hold */
    double duration_s; /* from start to end of the hold */
    double rate_hz;    /* announced; 0 = from the time stamps */
    const struct hold_cut *cuts;
    size_t cut_count;
};

struct hold_settings {
    bool has_target;
    double target_mm;
    bool has_band;
    struct cue_settings cue; /* the band is in here */
    bool raw;                /* readings as they are: no outlier rejection, no cutting */
};

struct hold_summary {
    enum measure_status status; /* MEASURE_OK: the numbers below mean something */
    /* how much was there */
    double effective_rate_hz;
    size_t readings, valid, outliers; /* by Hampel */
    double valid_share;               /* of the kept part: valid and no outlier over expected */
    double longest_gap_s;
    double cut_start_s;  /* settled part begins here */
    bool not_settled;    /* more than a third would have to be cut: repeat the hold */
    double cut_marked_s; /* left out by marks */
    double kept_s;
    /* where */
    double mean_mm; /* of the kept part; of a hold not settled where it was going */
    double sd_mm, minimum_mm, maximum_mm;
    double quantile_05_mm, quantile_50_mm, quantile_95_mm;
    bool has_interval;         /* k >= 8, valid share >= 0.9, kept >= 20 s */
    double mean_half_width_mm; /* 95 %, AR(1)-corrected block means: within this hold only */
    double mean_se_mm, mean_df;
    double effective_n;
    int blocks;
    double block_autocorrelation; /* bias-corrected, 0..0.8 */
    /* how steady */
    double steadiness_mm; /* RMS about the mean, 5 Hz zero-lag */
    bool has_target;
    double offset_mm; /* mean minus target, + higher */
    double rms_target_mm;
    bool has_spectrum;
    double rms_slow_mm, rms_breathing_mm,
        rms_pedalling_mm; /* under 0.25, 0.25-0.8, 1.2-3.5 Hz (Welch) */
    /* creep */
    bool has_creep;
    double creep_mm_per_min, creep_half_width_mm_per_min, creep_robust_mm_per_min;
    bool drifting;             /* more of a line than a steady rider's wander makes */
    bool creep_flagged;        /* drifting, and over 4 mm a hold */
    bool stepped;              /* the level changed at once and stayed: sensor or rider? */
    double step_mm, step_at_s; /* + upwards; from the hold's start */
    /* band */
    bool has_band;
    double in_band_share; /* of valid time, filtered 1 Hz */
    int excursions_high, excursions_low;
    int glances; /* stays outside, on either side, shorter than the on-delay */
    double excursion_total_s, excursion_longest_s, excursion_peak_mm; /* signed peak */
    double longest_in_band_s; /* without an excursion or a silence; glances don't end it */
    double cues_per_min;
    bool sustain_reached; /* the band was lost: under 80 % for 2 min, and the minute after that */
    double sustain_s;     /* when that began; else so long it was kept at least */
};

/* Works in memory of its own (MEASURE_NO_MEMORY when there is none). */
enum measure_status hold_summarise(const struct hold_input *input,
                                   const struct hold_settings *settings,
                                   struct hold_summary *summary);

/* By how much this channel moves at once, and for good, at a time where another one does: by
 * generalised least squares with the hold's own noise, + upwards. MEASURE_TOO_FEW under 10 s. */
enum measure_status hold_step_at(const struct hold_input *input, double at_s, double *step_mm);

#endif
