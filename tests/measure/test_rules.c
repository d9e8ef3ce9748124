/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/rules.h"

#include "support/test_main.h"

#include <stdio.h>
#include <string.h>

/* The rules' numbers once more, as they were decided: a number changes in two places, or it was not
 * meant to. What a rule does is tried beside its module. */

static const struct {
    const char *name;
    double value;
} decided[] = {
    {"HAMPEL_SIGMAS", 3.0},
    {"HAMPEL_FLOOR_MM", 0.5},
    {"HAMPEL_HALF_WINDOW_S", 0.08},
    {"HAMPEL_HALF_WINDOW_MIN", 3},
    {"HAMPEL_JUMP_MM", 150.0},
    {"SENSOR_SIGMAS", 5.0},
    {"SENSOR_HALF_WINDOW", 50},
    {"SERIES_GAP_S", 0.2},
    {"SERIES_GAP_PERIODS", 1.5},
    {"SERIES_EVEN_SHARE", 0.25},
    {"RATE_UNKNOWN_HZ", 50.0},
    {"RATE_LEAST_HZ", 0.001},
    {"RATE_MOST_HZ", 100000.0},
    {"RATE_SEEN_SAMPLES", 100},
    {"RIDER_RANGE_LEAST_MM", 60.0},
    {"RIDER_RANGE_MOST_MM", 6000.0},
    {"SAME_RANGE_MM", 1.5},
    {"SAME_RANGE_SHARE", 0.005},
    {"SHORT_COLUMN_SPREAD_MM", 3.0},
    {"CODE_JUMP_MM", 500.0},
    {"CODE_LEAST_MM", 1500.0},
    {"CODE_TIMES", 3},
    {"BLOCK_LENGTH_S", 2.5},
    {"BLOCK_SHARE_MIN", 0.5},
    {"CORRELATION_MAX", 0.8},
    {"INTERVAL_DF_MIN", 3.0},
    {"HOLD_SAMPLES_MIN", 10},
    {"SETTLED_BLOCKS_MIN", 8},
    {"SETTLE_CUT_PART", 3},
    {"SETTLED_LEFT_MM", 1.5},
    {"INTERVAL_KEPT_MIN_S", 20.0},
    {"INTERVAL_SHARE_MIN", 0.9},
    {"MODEL_BLOCK_S", 0.5},
    {"MODEL_BLOCKS_MOST", 240},
    {"NOISE_WANDER_MM", 2.3},
    {"NOISE_WANDER_SPREAD", 0.25},
    {"NOISE_WANDER_LASTS_S", 3.0},
    {"NOISE_WANDER_LASTS_SPREAD", 0.3},
    {"NOISE_REST_MM", 0.6},
    {"NOISE_REST_SPREAD", 0.7},
    {"NOISE_BREATHING_MM", 1.8},
    {"NOISE_BREATHING_SPREAD", 0.9},
    {"NOISE_PRIOR_DF", 5.0},
    {"BREATHING_DAMPING", 0.015},
    {"BREATHING_LINE_FROM_HZ", 0.16},
    {"BREATHING_LINE_TO_HZ", 0.75},
    {"MODEL_PROMISING", 0.25},
    {"STEP_FOUND", 14.5},
    {"STEP_LEAST_MM", 8.0},
    {"STEP_EDGE_S", 8.0},
    {"STEP_BESIDE", 10.5},
    {"STEP_ALONE", 3.0},
    {"GLANCE_MOST_S", 5.0},
    {"SETTLING_FOUND", 13.5},
    {"SETTLING_OTHERWISE", 2.0},
    {"LINE_AS_WELL", 5.0},
    {"LINE_INSTEAD", 2.0},
    {"DRIFT_FOUND", 6.5},
    {"STEADY_HZ", 5.0},
    {"SLOW_TO_HZ", 0.25},
    {"BREATHING_TO_HZ", 0.8},
    {"PEDALLING_FROM_HZ", 1.2},
    {"PEDALLING_TO_HZ", 3.5},
    {"SPECTRUM_WINDOW_S", 20.0},
    {"SPECTRUM_WINDOW_MIN_S", 10.0},
    {"SPECTRUM_RATE_MIN_HZ", 8.0},
    {"CREEP_FLAG_MM", 4.0},
    {"CREEP_COVERAGE", 2.6},
    {"HOLD_PAIR_KEPT_S", 10.0},
    {"SUSTAIN_WINDOW_S", 120.0},
    {"SUSTAIN_AFTER_S", 60.0},
    {"SUSTAIN_SHARE", 0.8},
    {"SUSTAIN_BLOCK_S", 10.0},
    {"SUSTAIN_BLOCK_SHARE", 0.5},
    {"SUSTAIN_READINGS_SHARE", 0.8},
    {"MARK_CUT_BEFORE_S", 1.0},
    {"MARK_CUT_AFTER_S", 3.0},
    {"TARGET_UNTIL_MM", 3.0},
    {"TARGET_AT_LEAST_S", 30.0},
    {"TARGET_AT_MOST_S", 90.0},
    {"TARGET_FIRST_LOOK_S", 20.0},
    {"TARGET_LENGTH_STEP_S", 5.0},
    {"TARGET_LOOK_AGAIN_S", 10.0},
    {"TARGET_LENGTH_SLACK", 1.2},
    {"WANDER_TO_HZ", 0.18},
    {"WANDER_SHORTEST_S", 1.0},
    {"WANDER_TIMES", 6},
    {"WANDER_SD_MM", 2.5},
    {"WANDER_SD_LOG", 0.6},
    {"WANDER_SPREADS", 9},
    {"WANDER_FLAT_LEAST", 0.02},
    {"WANDER_FLAT_TIMES", 7.0},
    {"WANDER_FLATS", 3},
    {"WANDER_WIDTH", 1.6},
    {"TARGET_SLIP_MM", 200.0},
    {"BAND_TIGHT_SD", 1.5},
    {"BAND_FIRM_SD", 2.0},
    {"BAND_USUAL_SD", 2.5},
    {"BAND_LOOSE_SD", 3.5},
    {"BAND_VERY_LOOSE_SD", 5.0},
    {"BAND_BELOW_LOOSER", 1.5},
    {"BAND_SAFE_SHARE", 0.95},
    {"BAND_CAPTURE_MIN_S", 20.0},
    {"BAND_SHIFT_MOST", 3.0},
    {"BAND_SHIFTS", 9},
    {"BAND_FLOOR_HEAD_MM", 8.0},
    {"BAND_FLOOR_MM", 6.0},
    {"CUES_WANTED_PER_MIN", 3.0},
    {"CUES_TOO_MANY_PER_MIN", 6.0},
    {"BAND_TOO_WIDE_SD", 4.0},
    {"CUES_HARDLY_PER_MIN", 0.1},
    {"CUE_FILTER_HZ", 1.0},
    {"CUE_DEAD_BAND", 0.2},
    {"CUE_ON_DELAY_S", 0.7},
    {"CUE_ON_DELAY_HEAD_S", 2.0},
    {"CUE_OFF_DELAY_S", 0.5},
    {"CUE_NO_READING_S", 0.5},
    {"CUE_FILTER_RESTART_S", 0.5},
    {"CUE_SOUND_FIRST_S", 5.0},
    {"CUE_SOUND_NEXT_S", 15.0},
    {"CUE_SOUND_TIMES", 4},
    {"CUE_SOUND_BUDGET", 12},
    {"CUE_SOUND_BUDGET_S", 600.0},
    {"CUE_SOUND_REST_S", 300.0},
    {"CUE_SOUND_AFTER_START_S", 1.5},
    {"CUE_SOUND_BEFORE_END_S", 3.5},
    {"QUICK_FILTER_HZ", 3.0},
    {"MATTERS_MM", 10.0},
    {"MATTERS_IN_BAND", 0.1},
    {"INTERVAL_LOW", 0.025},
    {"INTERVAL_HIGH", 0.975},
    {"COMPARE_CONFIDENCE", 0.95},
    {"PROVISIONAL_DF", 4},
    {"SPREAD_HOLDS_MIN", 3},
    {"SPREAD_P", 0.15},
    {"ASSUMED_REPEATABILITY_MM", 5},
    {"ASSUMED_REPEATABILITY_DF", 3},
    {"LEARNT_DAY_DF", 9},
    {"LEARNT_STORE_DF_MOST", 4},
    {"LEARNT_RIDER_SESSIONS_MOST", 12},
    {"LEARNT_STORE_SESSIONS_MOST", 40},
    {"LEARNT_STORE_SESSIONS_MIN", 10},
    {"ORDER_INDEX_MOST", 0.5},
    {"ORDER_INDEX_TOLD", 0.2},
    {"ORDER_UNKNOWN", 0.1},
    {"ORDER_DF_MIN", 3},
    {"ORDER_STANDS_SHARE", 0.5},
    {"MORE_HOLDS_MOST", 12},
    {"MORE_HOLDS_FEW", 2},
    {"PLATE_WORTH", 0.7},
    {"UNEVEN_TIMES", 2.0},
    {"STEP_WORTH_MM", 10.0},
    {"STEP_WORTH_DEG", 5.0},
    {"ALIKE_MM", 0.5},
    {"WIDENED_MUCH", 1.5},
    {"TRADEOFF_STEADINESS_MM", 1},
    {"TRADEOFF_CREEP_MM_PER_MIN", 5},
    {"TRADEOFF_RATING", 2},
    {"POWER_APART_W", 10.0},
    {"CADENCE_APART_RPM", 5.0},
    {"POINTED_OUT_SHARE", 0.05},
    {"TOGETHER_FROM", 0.5},
    {"PRACTICE_SHARE_GOOD", 0.9},
    {"PRACTICE_SHARE_FAIR", 0.8},
    {"PRACTICE_LONG_HOLD_S", 150.0},
    {"PLAN_CHANGE_MIN", 5.0},
    {"PLAN_CHANGE_QUICK_MIN", 1.0},
    {"PLAN_RIDE_IN_MIN", 2.0},
    {"PLAN_HOLD_S", 30.0},
    {"PLAN_HOLD_LONGEST_S", 60.0},
    {"PLAN_HOLD_STEP_S", 10.0},
    {"PLAN_HOLD_ERROR_MM", 1.1},
    {"PLAN_RATING_MIN", 0.5},
    {"PLAN_REST_MIN", 0.75},
    {"PLAN_REST_LEAST_MIN", 0.25},
    {"PLAN_HOLDS_A_BUILD", 3},
    {"PLAN_HOLDS_MOST", 6},
    {"PLAN_STAYS_CHANCE", 0.05},
    {"PLAN_STAYS_MINUTES", 0.9},
    {"PLAN_SETUPS", 3},
    {"PLAN_HOLD_SD_MM", 4.0},
    {"PLAN_POWER", 0.8},
    {"HOLD_LENGTH_S", 60.0},
    {"HOLD_LEAST_S", 5.0},
    {"HOLD_MOST_S", 28800.0},
    {"SETTLE_S", 5.0},
    {"DRAG_MATTERS_M2", 0.005},
    {"DRAG_RUNS_MIN", 4},
    {"DRAG_SPEED_APART", 0.05},
    {"DRAG_LAP_WIND_MOST", 1.0},
    {"DRAG_PAIR_WIND_MOST", 2.0},
    {"DRAG_PAIR_WIND_APART", 0.7},
    {"DRAG_BORDER_S", 3.0},
    {"DRAG_LAPS_FOR_INTERVAL", 8},
    {"DRAG_PIECE_M", 25.0},
    {"DRAG_SLOPE_SETUPS", 4},
    {"DRAG_FOUND_SHARE", 0.8},
    {"DRAG_ROLLING", 0.004},
    {"DRAG_EFFICIENCY", 0.976},
    {"DRAG_BEARING_N", 0.091},
    {"DRAG_BEARING_N_PER_M_PER_S", 0.0087},
    {"DRAG_WHEEL_INERTIA", 0.14},
    {"DRAG_WHEEL_RADIUS_M", 0.311},
    {"DRAG_WHEELS_M2", 0.0044},
    {"DRAG_GRAVITY", 9.80665},
    {"DRAG_U_POWER", 0.015},
    {"DRAG_U_ROLLING", 0.0003},
    {"DRAG_U_SPEED", 0.002},
    {"DRAG_U_EFFICIENCY", 0.005},
    {"DRAG_U_DENSITY", 0.003},
    {"DRAG_U_MASS_KG", 0.5},
    {"AIR_LEAST_C", -20.0},
    {"AIR_MOST_C", 50.0},
    {"AIR_LEAST_PA", 50000.0},
    {"AIR_MOST_PA", 110000.0},
    {"PLATE_S", 5.0},
    {"PLATE_READINGS_MIN", 5},
    {"TAPE_SLIP_MM", 50.0},
    {"TIE_U_REFERENCE_MM", 1.0},
    {"PLATE_MOVED_MM", 2.0},
    {"PLATE_MOVED_U", 4.0},
    {"TIE_U_PLATE_MM", 1.0},
    {"TIE_U_TAPE_MM", 2.0},
    {"TIE_U_REBUILD_MM", 0.3},
    {"TIE_U_MOUNT_MM", 2.0},
    {"TIE_U_SPACERS_MM", 0.5},
    {"TIE_U_STEM_LABEL_DEG", 1.0},
    {"TIE_U_STEM_LEAST_MM", 2.0},
    {"TIE_U_TURN_DEG", 0.5},
    {"TIE_ALARM_U", 2.6},
    {"ASSUMED_U_MM", 5.0},
    {"ASSUMED_ROLL_U_DEG", 1.0},
    {"SLIP_LEAST_MM", 5},
    {"SLIP_P", 0.01},
    {"SLIP_OTHER_SHARE", 1.0 / 3.0},
    {"NORMAL_95", 1.96},
    {"PLACE_WEIGHT_MM", 1.0},
    {"PLACE_CHANGE_COST", 0.1},
    {"PLACE_PROPOSALS", 5},
    {"RIDE_SPEED_HALF_WINDOW_S", 0.5},
    {"SENSOR_BLOCKED_MM", 35.0},
    {"STILL_S", 60.0},
    {"STILL_READINGS_MIN", 20},
    {"STILL_BLOCKS_MIN", 8},
    {"STILL_NOISE_MM", 5.0},
    {"STILL_DRIFT_MM_PER_MIN", 0.5},
    {"STILL_WANDER_S", 0.5},
    {"STILL_WANDER_MM", 0.5},
    {"STILL_WANDER_TIMES", 2.5},
    {"STILL_VALID_SHARE", 0.95},
    {"STEP_S", 10.0},
    {"STEP_BLOCK_S", 1.0},
    {"STEP_LIMIT_MM", 1.5},
    {"STEP_LIMIT_SHARE", 0.05},
    {"STEP_COST_MM", 5.0},
    {"STEP_COVERAGE", 2.0},
    {"STEP_SHIFT_MM", 2.0},
    {"STEP_SEEN_SHARE", 0.3},
    {"BEAM_S", 5.0},
    {"HAND_LEAST_MM", 20.0},
    {"BLOCK_SEEN_SHARE", 0.5},
    {"BLOCK_TOLERANCE_MM", 5.0},
    {"BLOCK_TOLERANCE_SHARE", 0.1},
    {"OTHERS_LEAST_MM", 10.0},
    {"OTHERS_SHARE", 0.15},
    {"OTHERS_BLOCK_PART", 3},
    {"CHECK_FIRST_PAUSE_S", 2.0},
    {"CHECK_PAUSE_S", 8.0},
    {"CHECK_RIDER_PAUSE_S", 2.0},
    {"RIDER_S", 20.0},
    {"BODY_LEAST_MM", 15.0},
    {"HANDS_LEAST_MM", 12.0},
    {"RIDER_VALID_SHARE", 0.9},
    {"RESTLESS_TIMES", 3.0},
    {"FOLLOW_READINGS_MIN", 10},
    {"CROSSTALK_READINGS_MIN", 20},
    {"LEVELS_READINGS_MIN", 20},
    {"LEVELS_GAP_MM", 15.0},
    {"LEVELS_SD_TIMES", 4.0},
    {"LEVELS_SHARE", 0.02},
    {"LEVELS_JUMPS", 4},
    {"LEVELS_RARER_SD_MM", 5.0},
    {"LEVELS_RARER_SD_PARTS", 6.0},
    {"CALIBRATION_S", 5.0},
    {"CALIBRATION_READINGS_MIN", 20},
    {"CALIBRATION_NEAR_MM", 30.0},
    {"CALIBRATION_GAIN_LEAST", 0.8},
    {"CALIBRATION_GAIN_MOST", 1.25},
    {"CALIBRATION_RESIDUAL_MM", 3.0},
    {"CALIBRATION_P", 0.01},
    {"HEALTH_WINDOW_S", 5.0},
    {"HEALTH_STUCK_S", 2.0},
    {"HEALTH_STUCK_COARSE_S", 4.0},
    {"HEALTH_STUCK_READINGS", 20},
    {"HEALTH_COARSE_MM", 3.0},
    {"HEALTH_BLOCKED_S", 1.0},
    {"HEALTH_BOUND_MM", 60.0},
    {"HEALTH_BOUND_S", 0.5},
    {"HEALTH_BLOCKED_NOISE_MM", 3.0},
    {"HEALTH_NOTHING_MM", 8.0},
    {"HEALTH_LEVELS_SHARE", 0.05},
    {"HEALTH_LEVELS_JUMPS", 6},
    {"HEALTH_WATCH_S", 1.0},
    {"HEALTH_LEVELS_TOLD_S", 3},
    {"LOST_TOLD_PERCENT", 2.0},
    {"REJECTED_TOLD_PERCENT", 1.0},
    {"GOOD_TOLD_SHARE", 0.5},
    {"GAPS_TOLD_PERCENT", 5.0},
    {"HEALTH_RATE_SHARE", 0.05},
    {"HEALTH_RATE_SAMPLES", 10},
    {"HEALTH_NONE_SHARE", 0.01},
    {"HEALTH_GAPS_SHARE", 0.9},
    {"UNHEARD_TOLD_S", 3.0},
    {"STEADY_CREEP_MM_PER_MIN", 4.0},
};
#define DECIDED ((int)(sizeof decided / sizeof decided[0]))

START_TEST(every_number_is_the_one_decided)
{
    int seen = 0;
    for (int i = 0; i < rule_count; i++) {
        if (rules[i].name == NULL) {
            continue;
        }
        ck_assert_int_lt(seen, DECIDED);
        ck_assert_str_eq(rules[i].name, decided[seen].name);
        ck_assert_msg(rules[i].value == decided[seen].value, "%s is %g, and %g was decided",
                      rules[i].name, rules[i].value, decided[seen].value);
        seen++;
    }
    ck_assert_int_eq(seen, DECIDED);
}
END_TEST

/* The constants that the modules use are the table's. */
START_TEST(constants_are_the_table_s)
{
#define RULE_GROUP(title)
#define RULE(name, value, unit, source, purpose) {#name, name},
#define RULE_COUNT RULE
    const struct {
        const char *name;
        double value;
    } used[] = {
#include "measure/rule_rows.h"
    };
    ck_assert_int_eq((int)(sizeof used / sizeof used[0]), DECIDED);
    for (int i = 0; i < DECIDED; i++) {
        ck_assert_str_eq(used[i].name, decided[i].name);
        ck_assert_msg(used[i].value == decided[i].value, "%s is %g", used[i].name, used[i].value);
    }
}
END_TEST

START_TEST(every_rule_says_where_it_is_from_and_what_for)
{
    for (int i = 0; i < rule_count; i++) {
        if (rules[i].name == NULL) {
            ck_assert_uint_gt(strlen(rules[i].group), 3);
            continue;
        }
        ck_assert_uint_gt(strlen(rules[i].source), 3);
        ck_assert_uint_gt(strlen(rules[i].purpose), 4);
        ck_assert_ptr_nonnull(rules[i].unit);
        for (int j = 0; j < i; j++) {
            ck_assert(rules[j].name == NULL || strcmp(rules[i].name, rules[j].name) != 0);
        }
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("rules");
    TCase *tests = tcase_create("rules");
    tcase_add_test(tests, every_number_is_the_one_decided);
    tcase_add_test(tests, constants_are_the_table_s);
    tcase_add_test(tests, every_rule_says_where_it_is_from_and_what_for);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
