/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis/practice_band.h"

#include "measure/rules.h"

#include <math.h>

/* ---- which band ---- */

static bool is_of(const struct session_record *record, const struct analysis *analysis, int hold,
                  int setup)
{
    return record->build[record->hold[hold].build].setup == setup && analysis->hold[hold].counts;
}

/* The setup's last hold that counts: its target and band are what the rider knows. */
static int last_hold_on(const struct session_record *record, const struct analysis *analysis,
                        int setup)
{
    int hold = record->hold_count - 1;
    while (hold >= 0 && !is_of(record, analysis, hold, setup)) {
        hold--;
    }
    return hold;
}

static bool is_taken(const struct target_record *target)
{
    return target->capture >= 0 && target->kept && !target->undone;
}

/* The setup's own latest target, -1 = none. */
static int own_target(const struct session_record *record, int setup)
{
    int target = record->target_count - 1;
    while (target >= 0 && !(is_taken(&record->target[target]) &&
                            record->build[record->target[target].build].setup == setup)) {
        target--;
    }
    return target;
}

static bool has_band(const struct session_record *record, const struct analysis *analysis,
                     const struct hold_record *hold)
{
    for (int channel = 0; channel < analysis->channel_count; channel++) {
        struct hold_settings settings;
        analysis_hold_settings(record, analysis, hold, channel, &settings);
        if (analysis->body[channel] && settings.has_band) {
            return true;
        }
    }
    return false;
}

/* Is the posture without the gauge by more than what matters beside the target, or out of the band?
 */
static bool lies_away(const struct session_record *record, const struct analysis *analysis,
                      const struct hold_record *hold, int setup)
{
    for (int channel = 0; channel < analysis->channel_count; channel++) {
        const struct setup_estimate *estimate = &analysis->free_heights[channel].setup[setup];
        struct hold_settings settings;
        analysis_hold_settings(record, analysis, hold, channel, &settings);
        double beside = estimate->mean - settings.target_mm;
        double matters = record->settings.matters_mm[channel];
        if (analysis->body[channel] && settings.has_band && estimate->holds > 0 && estimate->tied &&
            (fabs(beside) > matters || beside > settings.cue.band_above_mm ||
             beside < -settings.cue.band_below_mm)) {
            return true;
        }
    }
    return false;
}

void practice_band_find(const struct session_record *record, const struct analysis *analysis,
                        int setup, struct practice_band *band)
{
    int hold = last_hold_on(record, analysis, setup), own = own_target(record, setup);
    *band = (struct practice_band){.of = PRACTICE_BAND_NONE, .other = -1};
    if (hold < 0) {
        return;
    }
    band->hold = record->hold[hold];
    if (own >= 0 && band->hold.target != own) { /* taken since that hold, with the latest band */
        band->hold.target = own;
        band->hold.band = record->band_count - 1;
    }
    if (!has_band(record, analysis, &band->hold)) {
        return;
    }
    const struct target_record *target = &record->target[band->hold.target];
    int taken_on = target->capture >= 0 ? record->build[target->build].setup : -1;
    if (taken_on >= 0) {
        band->of = taken_on == setup ? PRACTICE_BAND_OWN : PRACTICE_BAND_OTHER;
        band->other = taken_on == setup ? -1 : taken_on;
    } else {
        band->of = lies_away(record, analysis, &band->hold, setup) ? PRACTICE_BAND_AWAY
                                                                   : PRACTICE_BAND_ENTERED;
    }
}

bool practice_band_holds_good(const struct practice_band *band)
{
    return band->of == PRACTICE_BAND_OWN || band->of == PRACTICE_BAND_ENTERED;
}

/* ---- how it was kept ---- */

static bool was_in_band(const struct session_record *record, const struct analysis *analysis,
                        int hold, int setup, const struct practice_band *band)
{
    const struct hold_record *held = &record->hold[hold];
    return practice_band_holds_good(band) && is_of(record, analysis, hold, setup) && held->guided &&
           held->target == band->hold.target;
}

struct practice_share practice_share_of(const struct session_record *record,
                                        const struct analysis *analysis, int setup,
                                        const struct practice_band *band, int channel)
{
    struct practice_share found = {.share = 0.0};
    for (int hold = 0; hold < record->hold_count; hold++) {
        const struct hold_result *result = &analysis->hold[hold];
        const struct hold_summary *summary = &result->summary[channel];
        if (was_in_band(record, analysis, hold, setup, band) && result->has[channel] &&
            summary->status == MEASURE_OK && summary->has_interval && summary->has_band) {
            found.share += summary->in_band_share;
            found.kept_s += summary->kept_s;
            found.holds++;
        }
    }
    found.share = found.holds > 0 ? found.share / found.holds : (double)NAN;
    return found;
}

static void add_kept(struct practice_kept *found, const struct session_record *record,
                     const struct analysis *analysis, int setup, const struct practice_band *band)
{
    for (int hold = 0; hold < record->hold_count; hold++) {
        const struct hold_result *result = &analysis->hold[hold];
        double gone = INFINITY, kept = INFINITY;
        if (!was_in_band(record, analysis, hold, setup, band) ||
            result->duration_s < PRACTICE_LONG_HOLD_S) {
            continue;
        }
        for (int channel = 0; channel < analysis->channel_count; channel++) {
            const struct hold_summary *summary = &result->summary[channel];
            if (analysis->body[channel] && result->has[channel] && summary->has_band) {
                gone = summary->sustain_reached ? fmin(gone, summary->sustain_s) : gone;
                kept = fmin(kept, summary->sustain_s);
            }
        }
        if (isfinite(gone) && !(found->gone_after_s <= gone)) {
            found->gone_after_s = gone;
        } else if (!isfinite(gone) && isfinite(kept) && !(found->kept_s >= kept)) {
            found->kept_s = kept;
            found->of_s = result->duration_s;
        }
    }
}

struct practice_kept practice_kept_of(const struct session_record *record,
                                      const struct analysis *analysis, int setup,
                                      const struct practice_band *band)
{
    struct practice_kept found = {NAN, NAN, NAN};
    add_kept(&found, record, analysis, setup, band);
    return found;
}

struct practice_kept practice_kept_of_all(const struct session_record *record,
                                          const struct analysis *analysis)
{
    struct practice_kept found = {NAN, NAN, NAN};
    for (int setup = 0; setup < record->setup_count; setup++) {
        struct practice_band band;
        practice_band_find(record, analysis, setup, &band);
        add_kept(&found, record, analysis, setup, &band);
    }
    return found;
}
