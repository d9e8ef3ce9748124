/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The rows that exports of holds are made of: their order is the order of members in JSON, their
 * names are public. */
#include "measure/hold_measures.h"
#include "support/test_main.h"

#include <string.h>

#define ROW(key, heading, member, decimals, group, needs, unit)                                    \
    {                                                                                              \
        key, heading, offsetof(struct hold_summary, member), decimals, group, needs, unit          \
    }
static const struct {
    const char *key, *heading;
    size_t offset;
    int decimals;
    enum hold_group group;
    enum hold_needs needs;
    const char *unit;
} rows[] = {
#define READ HOLD_READINGS
#define SUMMARY NEEDS_SUMMARY
    ROW("effective_rate_hz", "rate_hz", effective_rate_hz, 3, READ, SUMMARY, "Hz"),
    ROW("readings", "readings", readings, 0, READ, NEEDS_NOTHING, ""),
    ROW("valid", "valid", valid, 0, READ, NEEDS_NOTHING, ""),
    ROW("outliers", "outliers", outliers, 0, READ, NEEDS_NOTHING, ""),
    ROW("valid_share", "valid_share", valid_share, 4, HOLD_KEPT, SUMMARY, "share"),
    ROW("longest_gap_s", "longest_gap_s", longest_gap_s, 3, HOLD_KEPT, SUMMARY, "s"),
    ROW("cut_start_s", "cut_start_s", cut_start_s, 2, HOLD_KEPT, SUMMARY, "s"),
    ROW("cut_marked_s", "cut_marked_s", cut_marked_s, 2, HOLD_KEPT, SUMMARY, "s"),
    ROW("kept_s", "kept_s", kept_s, 2, HOLD_KEPT, SUMMARY, "s"),
    ROW("not_settled", "not_settled", not_settled, 0, HOLD_KEPT, SUMMARY, ""),
    ROW("mean_mm", "mean_mm", mean_mm, 2, HOLD_HEIGHT, SUMMARY, "mm"),
    ROW("mean_half_width_mm", "mean_half_width_mm", mean_half_width_mm, 2, HOLD_HEIGHT,
        NEEDS_INTERVAL, "mm"),
    ROW("mean_se_mm", NULL, mean_se_mm, 0, HOLD_INTERVAL, NEEDS_INTERVAL, "mm"),
    ROW("mean_df", NULL, mean_df, 0, HOLD_INTERVAL, NEEDS_INTERVAL, ""),
    ROW("effective_n", "effective_n", effective_n, 2, HOLD_INTERVAL, NEEDS_INTERVAL, ""),
    ROW("blocks", NULL, blocks, 0, HOLD_INTERVAL, NEEDS_NOTHING, ""),
    ROW("block_autocorrelation", NULL, block_autocorrelation, 0, HOLD_INTERVAL, NEEDS_INTERVAL, ""),
    ROW("sd_mm", "sd_mm", sd_mm, 2, HOLD_HEIGHT, SUMMARY, "mm"),
    ROW("minimum_mm", "minimum_mm", minimum_mm, 1, HOLD_HEIGHT, SUMMARY, "mm"),
    ROW("quantile_05_mm", "quantile_05_mm", quantile_05_mm, 1, HOLD_HEIGHT, SUMMARY, "mm"),
    ROW("quantile_50_mm", "median_mm", quantile_50_mm, 1, HOLD_HEIGHT, SUMMARY, "mm"),
    ROW("quantile_95_mm", "quantile_95_mm", quantile_95_mm, 1, HOLD_HEIGHT, SUMMARY, "mm"),
    ROW("maximum_mm", "maximum_mm", maximum_mm, 1, HOLD_HEIGHT, SUMMARY, "mm"),
    ROW("steadiness_mm", "steadiness_mm", steadiness_mm, 2, HOLD_STEADINESS, SUMMARY, "mm"),
    ROW("rms_slow_mm", "rms_slow_mm", rms_slow_mm, 2, HOLD_STEADINESS, NEEDS_SPECTRUM, "mm"),
    ROW("rms_breathing_mm", "rms_breathing_mm", rms_breathing_mm, 2, HOLD_STEADINESS,
        NEEDS_SPECTRUM, "mm"),
    ROW("rms_pedalling_mm", "rms_pedalling_mm", rms_pedalling_mm, 2, HOLD_STEADINESS,
        NEEDS_SPECTRUM, "mm"),
    ROW("creep_mm_per_min", "creep_mm_per_min", creep_mm_per_min, 2, HOLD_STEADINESS, NEEDS_CREEP,
        "mm/min"),
    ROW("creep_half_width_mm_per_min", "creep_half_width_mm_per_min", creep_half_width_mm_per_min,
        2, HOLD_STEADINESS, NEEDS_CREEP, "mm/min"),
    ROW("creep_robust_mm_per_min", NULL, creep_robust_mm_per_min, 0, HOLD_STEADINESS, NEEDS_CREEP,
        "mm/min"),
    ROW("creep_flagged", "creep_flagged", creep_flagged, 0, HOLD_STEADINESS, NEEDS_CREEP, ""),
    ROW("drifting", "drifting", drifting, 0, HOLD_STEADINESS, SUMMARY, ""),
    ROW("stepped", "stepped", stepped, 0, HOLD_STEADINESS, SUMMARY, ""),
    ROW("step_mm", "step_mm", step_mm, 2, HOLD_STEADINESS, NEEDS_STEP, "mm"),
    ROW("step_at_s", "step_at_s", step_at_s, 1, HOLD_STEADINESS, NEEDS_STEP, "s"),
    ROW("offset_mm", "offset_mm", offset_mm, 2, HOLD_AIM, NEEDS_TARGET, "mm"),
    ROW("rms_target_mm", "rms_target_mm", rms_target_mm, 2, HOLD_AIM, NEEDS_TARGET, "mm"),
    ROW("in_band_share", "in_band_share", in_band_share, 4, HOLD_BAND, NEEDS_BAND, "share"),
    ROW("came_up", "came_up", excursions_high, 0, HOLD_BAND, NEEDS_BAND, ""),
    ROW("went_low", "went_low", excursions_low, 0, HOLD_BAND, NEEDS_BAND, ""),
    ROW("glances", "glances", glances, 0, HOLD_BAND, NEEDS_BAND, ""),
    ROW("excursion_total_s", "excursion_total_s", excursion_total_s, 2, HOLD_BAND, NEEDS_BAND, "s"),
    ROW("excursion_longest_s", "excursion_longest_s", excursion_longest_s, 2, HOLD_BAND, NEEDS_BAND,
        "s"),
    ROW("excursion_peak_mm", "excursion_peak_mm", excursion_peak_mm, 1, HOLD_BAND, NEEDS_BAND,
        "mm"),
    ROW("longest_in_band_s", "longest_in_band_s", longest_in_band_s, 2, HOLD_BAND, NEEDS_BAND, "s"),
    ROW("cues_per_min", "cues_per_min", cues_per_min, 2, HOLD_BAND, NEEDS_BAND, "1/min"),
    ROW("sustain_reached", "sustain_reached", sustain_reached, 0, HOLD_BAND, NEEDS_BAND, ""),
    ROW("sustain_s", "sustain_s", sustain_s, 2, HOLD_BAND, NEEDS_BAND, "s"),
};
enum { ROWS = sizeof rows / sizeof rows[0] };

START_TEST(every_row_is_the_public_one)
{
    ck_assert_int_eq(hold_measure_count, ROWS);
    for (int i = 0; i < ROWS; i++) {
        const struct hold_measure *measure = &hold_measures[i];
        ck_assert_str_eq(measure->key, rows[i].key);
        if (rows[i].heading == NULL) {
            ck_assert_ptr_null(measure->heading);
        } else {
            ck_assert_str_eq(measure->heading, rows[i].heading);
        }
        ck_assert_uint_eq(measure->member.offset, rows[i].offset);
        ck_assert_int_eq(measure->decimals, rows[i].decimals);
        ck_assert_int_eq(measure->group, rows[i].group);
        ck_assert_int_eq(measure->needs, rows[i].needs);
        ck_assert_str_eq(measure->unit, rows[i].unit);
        ck_assert_uint_gt(strlen(measure->words), 3);
    }
}
END_TEST

/* Each need by itself, and nothing but readings and blocks of a hold that gave no numbers. */
START_TEST(what_is_there)
{
    for (int i = 0; i < ROWS; i++) {
        const struct hold_measure *measure = &hold_measures[i];
        struct hold_summary summary = {.status = MEASURE_OK};
        enum hold_needs needs = measure->needs;
        ck_assert(hold_measure_there(measure, &summary) ==
                  (needs == NEEDS_NOTHING || needs == NEEDS_SUMMARY));
        summary.has_interval = needs == NEEDS_INTERVAL;
        summary.has_spectrum = needs == NEEDS_SPECTRUM;
        summary.has_creep = needs == NEEDS_CREEP;
        summary.stepped = needs == NEEDS_STEP;
        summary.has_target = needs == NEEDS_TARGET;
        summary.has_band = needs == NEEDS_BAND;
        ck_assert(hold_measure_there(measure, &summary));
        summary.status = MEASURE_TOO_FEW;
        ck_assert(hold_measure_there(measure, &summary) == (needs == NEEDS_NOTHING));
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("hold_measures");
    TCase *tests = tcase_create("hold_measures");
    tcase_add_test(tests, every_row_is_the_public_one);
    tcase_add_test(tests, what_is_there);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
