/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_CUE_H
#define HOLDLINE_MEASURE_CUE_H

#include <stdbool.h>
#include <stdint.h>

/* The cue machine (docs/measures.md, 'Target and band'): what the rider is told. Terms dead-band,
 * on-delay and off-delay as in IEC 62682. Streaming: one call a sample, the same machine live, for
 * proposals and in statistics. */
enum cue_state { CUE_NO_READING, CUE_IN, CUE_HIGH, CUE_LOW };

struct cue_settings {
    double band_above_mm; /* over the target; INFINITY = no limit */
    double band_below_mm; /* under the target, positive; INFINITY = none */
    double filter_hz;
    double dead_band; /* share of the half-width: back inside only below the rest of it */
    double on_delay_s;
    double off_delay_s;
    double no_reading_s; /* without a valid reading for this long: CUE_NO_READING */
};

struct cue_machine {
    struct cue_settings settings;
    double target_mm;
    double rate_hz;
    enum cue_state state;
    enum cue_state pending; /* outside (or back inside) but the delay is not over */
    double pending_since_s; /* kept when the delay ends: when the state that holds now began */
    enum cue_state seen;    /* where the body is: steady for CUE_SEEN_S, and never after state */
    enum cue_state
        before; /* state before the readings stopped: taken up again where it still holds */
    double last_valid_s;
    bool has_valid;
    double filter_state[4];
    double filter_gain[5];
    bool filter_started;
    double slow_mm; /* the filtered posture now */
};

/* As usual, with no limit above or below. The head's waits longer. */
struct cue_settings cue_usual(bool head);
bool cue_settings_equal(const struct cue_settings *a, const struct cue_settings *b);

/* rate_hz: effective sampling rate (the filter's coefficients). */
void cue_start(struct cue_machine *cue, const struct cue_settings *settings, double target_mm,
               double rate_hz);
/* New target or band without losing the filter's state. */
void cue_retarget(struct cue_machine *cue, const struct cue_settings *settings, double target_mm);
/* Is the filtered posture within the band, whatever is told? */
bool cue_is_within(const struct cue_machine *cue);
/* One sample; valid = false for missing or rejected readings. Returns the state now. */
enum cue_state cue_step(struct cue_machine *cue, double time_s, double height_mm, bool valid);

#endif
