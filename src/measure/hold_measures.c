/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/hold_measures.h"

#define OF(name) MEMBER(struct hold_summary, name)

const struct hold_measure hold_measures[] = {
    {"effective_rate_hz", "rate_hz", OF(effective_rate_hz), 3, HOLD_READINGS, NEEDS_SUMMARY, "Hz",
     "readings there were over the time they took"},
    {"readings", "readings", OF(readings), 0, HOLD_READINGS, NEEDS_NOTHING, "",
     "readings there were"},
    {"valid", "valid", OF(valid), 0, HOLD_READINGS, NEEDS_NOTHING, "", "of them with a range"},
    {"outliers", "outliers", OF(outliers), 0, HOLD_READINGS, NEEDS_NOTHING, "",
     "of the valid: single readings far from their neighbours, left out"},

    {"valid_share", "valid_share", OF(valid_share), 4, HOLD_KEPT, NEEDS_SUMMARY, "share",
     "of the part that is kept: readings used over readings expected"},
    {"longest_gap_s", "longest_gap_s", OF(longest_gap_s), 3, HOLD_KEPT, NEEDS_SUMMARY, "s",
     "longest time without a reading"},
    {"cut_start_s", "cut_start_s", OF(cut_start_s), 2, HOLD_KEPT, NEEDS_SUMMARY, "s",
     "left out at the start, where the rider had not settled"},
    {"cut_marked_s", "cut_marked_s", OF(cut_marked_s), 2, HOLD_KEPT, NEEDS_SUMMARY, "s",
     "left out by the fitter's marks"},
    {"kept_s", "kept_s", OF(kept_s), 2, HOLD_KEPT, NEEDS_SUMMARY, "s", "what the numbers are from"},
    {"not_settled", "not_settled", OF(not_settled), 0, HOLD_KEPT, NEEDS_SUMMARY, "",
     "the rider moved on to the end: better done again"},

    {"mean_mm", "mean_mm", OF(mean_mm), 2, HOLD_HEIGHT, NEEDS_SUMMARY, "mm", "mean height"},
    {"mean_half_width_mm", "mean_half_width_mm", OF(mean_half_width_mm), 2, HOLD_HEIGHT,
     NEEDS_INTERVAL, "mm", "95 %, within this hold only"},
    {"mean_se_mm", NULL, OF(mean_se_mm), 0, HOLD_INTERVAL, NEEDS_INTERVAL, "mm",
     "standard error of the mean, within this hold only"},
    {"mean_df", NULL, OF(mean_df), 0, HOLD_INTERVAL, NEEDS_INTERVAL, "", "its degrees of freedom"},
    {"effective_n", "effective_n", OF(effective_n), 2, HOLD_INTERVAL, NEEDS_INTERVAL, "",
     "independent blocks that the mean is worth"},
    {"blocks", NULL, OF(blocks), 0, HOLD_INTERVAL, NEEDS_NOTHING, "", "blocks there were"},
    {"block_autocorrelation", NULL, OF(block_autocorrelation), 0, HOLD_INTERVAL, NEEDS_INTERVAL, "",
     "of neighbouring blocks' means"},
    {"sd_mm", "sd_mm", OF(sd_mm), 2, HOLD_HEIGHT, NEEDS_SUMMARY, "mm",
     "standard deviation of the readings"},
    {"minimum_mm", "minimum_mm", OF(minimum_mm), 1, HOLD_HEIGHT, NEEDS_SUMMARY, "mm",
     "lowest reading"},
    {"quantile_05_mm", "quantile_05_mm", OF(quantile_05_mm), 1, HOLD_HEIGHT, NEEDS_SUMMARY, "mm",
     "5 % of the readings are lower"},
    {"quantile_50_mm", "median_mm", OF(quantile_50_mm), 1, HOLD_HEIGHT, NEEDS_SUMMARY, "mm",
     "half of the readings are lower"},
    {"quantile_95_mm", "quantile_95_mm", OF(quantile_95_mm), 1, HOLD_HEIGHT, NEEDS_SUMMARY, "mm",
     "95 % of the readings are lower"},
    {"maximum_mm", "maximum_mm", OF(maximum_mm), 1, HOLD_HEIGHT, NEEDS_SUMMARY, "mm",
     "highest reading"},

    {"steadiness_mm", "steadiness_mm", OF(steadiness_mm), 2, HOLD_STEADINESS, NEEDS_SUMMARY, "mm",
     "RMS about the mean, under 5 Hz"},
    {"rms_slow_mm", "rms_slow_mm", OF(rms_slow_mm), 2, HOLD_STEADINESS, NEEDS_SPECTRUM, "mm",
     "RMS under 0.25 Hz"},
    {"rms_breathing_mm", "rms_breathing_mm", OF(rms_breathing_mm), 2, HOLD_STEADINESS,
     NEEDS_SPECTRUM, "mm", "RMS from 0.25 to 0.8 Hz"},
    {"rms_pedalling_mm", "rms_pedalling_mm", OF(rms_pedalling_mm), 2, HOLD_STEADINESS,
     NEEDS_SPECTRUM, "mm", "RMS from 1.2 to 3.5 Hz"},
    {"creep_mm_per_min", "creep_mm_per_min", OF(creep_mm_per_min), 2, HOLD_STEADINESS, NEEDS_CREEP,
     "mm/min", "slope over the hold, + upwards"},
    {"creep_half_width_mm_per_min", "creep_half_width_mm_per_min", OF(creep_half_width_mm_per_min),
     2, HOLD_STEADINESS, NEEDS_CREEP, "mm/min", "95 %"},
    {"creep_robust_mm_per_min", NULL, OF(creep_robust_mm_per_min), 0, HOLD_STEADINESS, NEEDS_CREEP,
     "mm/min", "the slope as the median of all pairs"},
    {"creep_flagged", "creep_flagged", OF(creep_flagged), 0, HOLD_STEADINESS, NEEDS_CREEP, "",
     "creep that matters over the hold, and more of it than a steady rider's wander makes"},
    {"drifting", "drifting", OF(drifting), 0, HOLD_STEADINESS, NEEDS_SUMMARY, "",
     "more of a line than a steady rider's wander makes, however small"},
    {"stepped", "stepped", OF(stepped), 0, HOLD_STEADINESS, NEEDS_SUMMARY, "",
     "the level changed at once and stayed: sensor or rider?"},
    {"step_mm", "step_mm", OF(step_mm), 2, HOLD_STEADINESS, NEEDS_STEP, "mm",
     "by how much, + upwards"},
    {"step_at_s", "step_at_s", OF(step_at_s), 1, HOLD_STEADINESS, NEEDS_STEP, "s",
     "when, from the start of the hold"},

    {"offset_mm", "offset_mm", OF(offset_mm), 2, HOLD_AIM, NEEDS_TARGET, "mm", "mean minus target"},
    {"rms_target_mm", "rms_target_mm", OF(rms_target_mm), 2, HOLD_AIM, NEEDS_TARGET, "mm",
     "RMS about the target"},

    {"in_band_share", "in_band_share", OF(in_band_share), 4, HOLD_BAND, NEEDS_BAND, "share",
     "of the time with readings"},
    {"came_up", "came_up", OF(excursions_high), 0, HOLD_BAND, NEEDS_BAND, "",
     "excursions over the band"},
    {"went_low", "went_low", OF(excursions_low), 0, HOLD_BAND, NEEDS_BAND, "",
     "excursions under the band"},
    {"glances", "glances", OF(glances), 0, HOLD_BAND, NEEDS_BAND, "",
     "stays outside that were too short for a cue"},
    {"excursion_total_s", "excursion_total_s", OF(excursion_total_s), 2, HOLD_BAND, NEEDS_BAND, "s",
     "all excursions together"},
    {"excursion_longest_s", "excursion_longest_s", OF(excursion_longest_s), 2, HOLD_BAND,
     NEEDS_BAND, "s", "the longest excursion"},
    {"excursion_peak_mm", "excursion_peak_mm", OF(excursion_peak_mm), 1, HOLD_BAND, NEEDS_BAND,
     "mm", "furthest from the target, + above"},
    {"longest_in_band_s", "longest_in_band_s", OF(longest_in_band_s), 2, HOLD_BAND, NEEDS_BAND, "s",
     "longest time without an excursion or a silence"},
    {"cues_per_min", "cues_per_min", OF(cues_per_min), 2, HOLD_BAND, NEEDS_BAND, "1/min",
     "cues given"},
    {"sustain_reached", "sustain_reached", OF(sustain_reached), 0, HOLD_BAND, NEEDS_BAND, "",
     "the band was lost: less than 80 % of 2 minutes in it, and of the minute after them"},
    {"sustain_s", "sustain_s", OF(sustain_s), 2, HOLD_BAND, NEEDS_BAND, "s",
     "how long it was kept, from the hold's start; at least so long where it was not lost"},
};
const int hold_measure_count = sizeof hold_measures / sizeof hold_measures[0];

bool hold_measure_there(const struct hold_measure *measure, const struct hold_summary *summary)
{
    bool ok = summary->status == MEASURE_OK;
    switch (measure->needs) {
    case NEEDS_NOTHING:
        return true;
    case NEEDS_SUMMARY:
        return ok;
    case NEEDS_INTERVAL:
        return ok && summary->has_interval;
    case NEEDS_SPECTRUM:
        return ok && summary->has_spectrum;
    case NEEDS_CREEP:
        return ok && summary->has_creep;
    case NEEDS_STEP:
        return ok && summary->stepped;
    case NEEDS_TARGET:
        return ok && summary->has_target;
    case NEEDS_BAND:
        return ok && summary->has_band;
    }
    return false;
}
