/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/band.h"

#include "hold_band.h"
#include "hold_position.h"
#include "series.h"

#include "measure/rules.h"
#include "measure/target.h"
#include "measure/tolerance.h"

#include <math.h>
#include <string.h>

/* Width above the target in SD of the filtered posture. */
struct candidate {
    double width;
    bool none_below;
};

/* What the capture says of its rider. */
struct own {
    double sd_mm;      /* of the filtered posture */
    double shift_mm;   /* SD of how much a hold lies higher than the capture, slow wander and all */
    double safe_width; /* very loose, or the tolerance factor by the effective n where larger */
};

/* By the width that it has in the end, in the rider's own SD: the narrowest that is allowed, and
 * whole millimetres, can make a tight one a loose one. Each word goes to the middle between two
 * widths. */
static const char *words_for(double above_mm, bool none_below, double sd_mm, double cues_per_min)
{
    const struct {
        double to_width;
        const char *words, *none_below;
    } rows[] = {
        {0.5 * (BAND_TIGHT_SD + BAND_FIRM_SD), "tight: practised riders",
         "tight above, none below"},
        {0.5 * (BAND_FIRM_SD + BAND_USUAL_SD), "firm: has held it before",
         "firm above, none below"},
        {0.5 * (BAND_USUAL_SD + BAND_LOOSE_SD), "usual: the rider's own steadiness",
         "usual above, none below"},
        {0.5 * (BAND_LOOSE_SD + BAND_VERY_LOOSE_SD), "loose: first practice",
         "loose above, none below"},
        {(double)INFINITY, "very loose", "very loose above, none below"},
    };
    double width = above_mm / sd_mm;
    if (cues_per_min > CUES_TOO_MANY_PER_MIN) {
        return "too narrow: the cue would hardly stop";
    }
    if (cues_per_min > CUES_WANTED_PER_MIN) {
        return "narrow: more cues than a rider takes in";
    }
    if (width > BAND_TOO_WIDE_SD && cues_per_min < CUES_HARDLY_PER_MIN) {
        return "too wide to teach anything";
    }
    int i = 0;
    while (!(width < rows[i].to_width)) {
        i++;
    }
    return none_below ? rows[i].none_below : rows[i].words;
}

/* The usual width, or the next wider one that does not nag. */
static void suggest(struct band_proposal *proposals, int count, double usual_mm)
{
    int best = -1;
    for (int i = 0; i < count; i++) {
        if (isinf(proposals[i].below_mm) || proposals[i].above_mm < usual_mm) {
            continue;
        }
        if (best < 0 || (proposals[best].cues_per_min > CUES_WANTED_PER_MIN &&
                         proposals[i].cues_per_min < proposals[best].cues_per_min)) {
            best = i;
        }
    }
    if (best >= 0) {
        proposals[best].suggested = true;
    }
}

/* What a cue with this band will say: replayed on the capture, as if the rider sat higher or lower
 * by what a target's error and slow wander leave between a capture and the next hold. */
static void expect(struct series *series, double from_s, const struct cue_settings *settings,
                   double target_mm, double shift_mm, struct hold_summary *expected)
{
    double all = 0.0, cues = 0.0, share = 0.0;
    for (int i = -BAND_SHIFTS; i <= BAND_SHIFTS; i++) {
        struct hold_summary replay;
        double z = BAND_SHIFT_MOST * i / (double)BAND_SHIFTS, weight = exp(-0.5 * z * z);
        memset(&replay, 0, sizeof replay);
        hold_band(series, from_s, settings, target_mm + z * shift_mm, &replay);
        all += weight;
        cues += weight * replay.cues_per_min;
        share += weight * replay.in_band_share;
    }
    expected->cues_per_min = cues / all;
    expected->in_band_share = share / all;
}

static int propose(struct series *series, const struct settled *settled, double target_mm,
                   double floor_mm, const struct cue_settings *cue, const struct own *own,
                   struct band_proposal *proposals)
{
    const struct candidate candidates[BAND_PROPOSALS_MAX] = {
        {BAND_TIGHT_SD, false}, {BAND_FIRM_SD, false},  {BAND_USUAL_SD, false},
        {BAND_USUAL_SD, true},  {BAND_LOOSE_SD, false}, {own->safe_width, false},
    };
    double sd_mm = own->sd_mm;
    int count = 0;
    for (int i = 0; i < BAND_PROPOSALS_MAX; i++) {
        const struct candidate *candidate = &candidates[i];
        double width = candidate->width;
        double above_mm = ceil(fmax(floor_mm, width * sd_mm));
        double below_mm = ceil(fmax(floor_mm, BAND_BELOW_LOOSER * width * sd_mm));
        if (candidate->none_below) {
            below_mm = (double)INFINITY;
        }
        bool known = false;
        for (int j = 0; j < count; j++) {
            known =
                known || (proposals[j].above_mm == above_mm && proposals[j].below_mm == below_mm);
        }
        if (known) { /* the floor makes narrow ones equal */
            continue;
        }
        struct cue_settings settings = *cue;
        struct hold_summary replay;
        memset(&replay, 0, sizeof replay);
        settings.band_above_mm = above_mm;
        settings.band_below_mm = below_mm;
        expect(series, settled->from_s, &settings, target_mm, own->shift_mm, &replay);
        proposals[count].above_mm = above_mm;
        proposals[count].below_mm = below_mm;
        proposals[count].cues_per_min = replay.cues_per_min;
        proposals[count].in_band_share = replay.in_band_share;
        proposals[count].words =
            words_for(above_mm, candidate->none_below, sd_mm, replay.cues_per_min);
        proposals[count].suggested = false;
        count++;
    }
    suggest(proposals, count, ceil(fmax(floor_mm, BAND_USUAL_SD * sd_mm)));
    return count;
}

int band_propose(const struct hold_input *capture, double target_mm, double floor_mm,
                 const struct cue_settings *cue, struct band_proposal proposals[BAND_PROPOSALS_MAX])
{
    struct target_estimate target;
    struct series series;
    struct settled settled = {0};
    int count = 0;
    if (!isfinite(target_mm) || !(floor_mm >= 0.0) || isinf(floor_mm) ||
        target_estimate(capture, &target) != MEASURE_OK || !(target.steadiness_mm > 0.0)) {
        return 0;
    }
    struct own own = {.sd_mm = target.steadiness_mm, .safe_width = BAND_VERY_LOOSE_SD};
    double safe;
    if (target.has_interval) {
        double fresh_mm = wander_error_of(&target.wander, HOLD_LENGTH_S);
        own.shift_mm = sqrt(target.wander.error_mm * target.wander.error_mm + fresh_mm * fresh_mm);
    }
    if (target.has_interval && tolerance_two_sided(fmax(2.0, target.effective_n), BAND_SAFE_SHARE,
                                                   BAND_SAFE_SHARE, &safe) == MEASURE_OK) {
        own.safe_width = fmax(own.safe_width, safe);
    }
    if (series_make(capture, false, &series) == MEASURE_OK &&
        settle(&series, true, false, &settled) == MEASURE_OK &&
        settled.kept_s >= BAND_CAPTURE_MIN_S - 1e-6) {
        count = propose(&series, &settled, target_mm, floor_mm, cue, &own, proposals);
    }
    settled_free(&settled);
    series_free(&series);
    return count;
}
