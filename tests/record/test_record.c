/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "record/record.h"
#include "record/stored.h"
#include "support/test_main.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

static bool is_nil(const struct uuid *uuid)
{
    return uuid_equal(uuid, &(struct uuid){{0}});
}

START_TEST(marks_are_found_by_their_own_words)
{
    for (int i = 0; i < MARKS; i++) {
        ck_assert_int_eq(word_find(&mark_words, word_of(&mark_words, i), -1), i);
    }
    ck_assert_int_eq(word_find(&mark_words, "slid", -1), MARK_SLID);
    ck_assert_int_eq(word_find(&mark_words, "talked", -1), MARK_TALKED);
    ck_assert_int_eq(word_find(&mark_words, "sli", -1), -1);
    ck_assert_int_eq(word_find(&mark_words, "", -1), -1);
    ck_assert_int_eq(word_find(&mark_words, NULL, -1), -1);
}
END_TEST

START_TEST(the_quantities_of_checks_are_the_public_ones)
{
    static const struct {
        int quantity;
        const char *key, *words, *unit;
    } rows[] = {
        {CHECK_RANGE, "range_mm", "range", "mm"},
        {CHECK_NOISE, "noise_mm", "noise", "mm"},
        {CHECK_DRIFT, "drift_mm_per_min", "drift", "mm/min"},
        {CHECK_DRIFT_HALF_WIDTH, "drift_half_width_mm_per_min", "drift known to", "mm/min"},
        {CHECK_QUANTUM, "quantum_mm", "step between readings", "mm"},
        {CHECK_BEST_AVERAGING, "best_averaging_s", "longest averaging worth doing", "s"},
        {CHECK_BEST_DEVIATION, "best_deviation_mm", "what it leaves", "mm"},
        {CHECK_VALID_SHARE, "valid_share", "share of good readings", ""},
        {CHECK_BLOCK_STEP, "block_step_mm", "step at the block", "mm"},
        {CHECK_BLOCK_STEP_U, "block_step_u_mm", "standard uncertainty of the step", "mm"},
        {CHECK_LIMIT, "limit_mm", "limit", "mm"},
        {CHECK_SCALE_ERROR, "scale_error_percent", "scale error", "%"},
        {CHECK_SHIFT, "shift_mm", "lasting change", "mm"},
        {CHECK_DOWN, "down_mm", "furthest down", "mm"},
        {CHECK_UP, "up_mm", "furthest up", "mm"},
        {CHECK_CROSSTALK, "crosstalk_share", "share of the other's movement", ""},
        {CHECK_GAIN, "gain", "gain", ""},
        {CHECK_GAIN_U, "gain_u", "standard uncertainty of the gain", ""},
        {CHECK_OFFSET, "offset_mm", "offset", "mm"},
        {CHECK_RESIDUAL_SD, "residual_sd_mm", "scatter about the line", "mm"},
        {CHECK_WORST_RESIDUAL, "worst_residual_mm", "furthest from the line", "mm"},
        {CHECK_LACK_OF_FIT_P, "lack_of_fit_p", "p of a straight line", ""},
    };
    ck_assert_int_eq(CHECK_QUANTITIES, (int)(sizeof rows / sizeof rows[0]));
    for (int i = 0; i < CHECK_QUANTITIES; i++) {
        const struct check_quantity_field *field = &check_quantities[rows[i].quantity];
        ck_assert_str_eq(field->key, rows[i].key);
        ck_assert_str_eq(field->words, rows[i].words);
        ck_assert_str_eq(field->unit, rows[i].unit);
    }
}
END_TEST

START_TEST(an_empty_session_has_nothing_given)
{
    struct session_record *record = malloc(sizeof *record);
    ck_assert_ptr_nonnull(record);
    memset(record, 0x5a, sizeof *record);
    session_record_clear(record);
    ck_assert_int_eq(record->setup_count + record->build_count + record->hold_count +
                         record->rating_count + record->note_count + record->tie_reading_count +
                         record->placing_count + record->capture_count + record->target_count +
                         record->band_count + record->mark_count,
                     0);
    ck_assert(!record->has_rider && !record->has_bike && !record->ended);
    ck_assert(is_nil(&record->uuid));
    ck_assert_int_eq(record->settings.baseline_setup, 1);
    ck_assert(isnan(record->settings.trunk_slope_deg));
    ck_assert_double_eq(record->settings.matters_mm[CHANNELS_MAX - 1], 10.0);
    for (int i = 0; i < BIKE_KEYS; i++) {
        ck_assert(isnan(record->setup[SETUPS_MAX - 1].bike.value[i]));
        ck_assert(isnan(record->bike.frame.value[i]));
    }
    const struct rating_record *rating = &record->rating[RATINGS_MAX - 1];
    for (int i = 0; i < RATING_ITEMS; i++) {
        ck_assert(isnan(rating->value[i]));
    }
    const struct hold_record *hold = &record->hold[HOLDS_MAX - 1];
    ck_assert_int_eq(hold->target, -1);
    ck_assert_int_eq(hold->band, -1);
    ck_assert_int_eq(record->mark[MARKS_MAX - 1].hold, -1);
    ck_assert(isnan(record->tie_reading[TIES_MAX - 1].plate_height_mm));
    ck_assert(isnan(record->target[TARGETS_MAX - 1].entered_mm[0]));
    const struct channel_record *channel = &record->placing[PLACINGS_MAX - 1].channel[0];
    ck_assert_double_eq(channel->gain, 1.0);
    ck_assert_double_eq(channel->offset_mm, 0.0);
    ck_assert(!channel->mounted && isnan(channel->mount.y_mm));
    ck_assert(isinf(record->band[0].cue[0].band_below_mm));
    ck_assert_int_eq(record->build[0].setup, -1);
    ck_assert_int_eq(record->build[0].placing, -1);
    ck_assert_int_eq(record->tie_reading[0].build, -1);
    ck_assert_int_eq(record->tie_reading[0].channel, -1);
    ck_assert(isnan(record->tie_reading[0].value_mm));
    ck_assert_int_eq(record->target[0].capture, -1);
    ck_assert_int_eq(record->target[0].build, -1);
    ck_assert(isnan(record->target[0].until_mm));
    ck_assert(isnan(record->target[0].entered_half_width_mm[0]));
    ck_assert_int_eq(record->hold[0].capture, -1);
    ck_assert_int_eq(record->hold[0].build, -1);
    ck_assert(isnan(record->hold[0].planned_s));
    ck_assert_int_eq(record->rating[0].setup, -1);
    ck_assert_int_eq(record->check[0].placing, -1);
    ck_assert_int_eq(record->check[0].build, -1);
    ck_assert_int_eq(record->check[0].channel, -1);
    ck_assert_int_eq(record->check[0].capture, -1);
    ck_assert(isnan(record->check[0].asked_mm[CHECK_PHASES_MAX - 1]));
    ck_assert_int_eq(record->placing[0].channel[0].mount.direction, 1);
    for (int i = 0; i < RUNS_MAX; i++) {
        ck_assert_int_eq(record->run[i].setup, -1);
        ck_assert(isnan(record->run[i].at_min) && isnan(record->run[i].power_w));
        ck_assert(isnan(record->run[i].heart_per_min) && isnan(record->run[i].effort));
    }
    for (int i = 0; i < LEGS_MAX; i++) {
        ck_assert_int_eq(record->leg[i].run, -1);
    }
    for (int i = 0; i < AIRS_MAX; i++) {
        ck_assert(isnan(record->air[i].temperature_c) && isnan(record->air[i].pressure_hpa));
        ck_assert(isnan(record->air[i].wind_m_per_s) && isnan(record->air[i].at_min));
    }
    free(record);
}
END_TEST

static bool empty(const void *bytes, size_t size)
{
    for (size_t i = 0; i < size; i++) {
        if (((const unsigned char *)bytes)[i] != 0) {
            return false;
        }
    }
    return true;
}

/* What is 'not given' is so in its own place: nothing beside it is touched. */
START_TEST(an_empty_session_has_nothing_between)
{
    struct session_record *record = malloc(sizeof *record);
    ck_assert_ptr_nonnull(record);
    memset(record, 0x5a, sizeof *record);
    session_record_clear(record);
    for (int i = 0; i < SETUPS_MAX; i++) {
        const struct setup_record *setup = &record->setup[i];
        ck_assert_int_eq(setup->number, 0);
        ck_assert(is_nil(&setup->uuid));
        ck_assert(empty(setup->intent, sizeof setup->intent));
    }
    for (int i = 0; i < PLACINGS_MAX; i++) {
        const struct placing_record *placing = &record->placing[i];
        ck_assert(is_nil(&placing->uuid) && placing->channel_count == 0);
        ck_assert(empty(placing->rig_id, sizeof placing->rig_id));
        for (int c = 0; c < CHANNELS_MAX; c++) {
            ck_assert(empty(placing->channel[c].name, sizeof placing->channel[c].name));
        }
    }
    for (int i = 0; i < BANDS_MAX; i++) {
        ck_assert(empty(record->band[i].limited, sizeof record->band[i].limited));
        ck_assert(is_nil(&record->band[i].uuid));
    }
    for (int i = 0; i < RATINGS_MAX; i++) {
        const struct rating_record *rating = &record->rating[i];
        ck_assert(is_nil(&rating->uuid));
        ck_assert(isnan(rating->value[0]) && isnan(rating->value[RATING_ITEMS - 1]));
    }
    free(record);
}
END_TEST

/* Takes what is 'not given' out of a cleared record; nothing but zeros is left of it. */
#define ALL_EMPTY(records, most, take_out)                                                         \
    for (int i = 0; i < (most); i++) {                                                             \
        take_out;                                                                                  \
        ck_assert_msg(empty(&(records)[i], sizeof(records)[i]), #records "[%d]", i);               \
    }

START_TEST(an_empty_session_is_zero_but_for_what_is_not_given)
{
    struct session_record *record = malloc(sizeof *record);
    ck_assert_ptr_nonnull(record);
    memset(record, 0x5a, sizeof *record);
    session_record_clear(record);
    ALL_EMPTY(record->setup, SETUPS_MAX,
              memset(&record->setup[i].bike, 0, sizeof record->setup[i].bike));
    ALL_EMPTY(record->build, BUILDS_MAX, record->build[i].setup = record->build[i].placing = 0);
    ALL_EMPTY(record->tie_reading, TIES_MAX, {
        struct tie_reading_record *reading = &record->tie_reading[i];
        reading->build = reading->channel = 0;
        reading->value_mm = reading->plate_height_mm = 0.0;
    });
    ALL_EMPTY(record->capture, CAPTURES_MAX, (void)0);
    ALL_EMPTY(record->target, TARGETS_MAX, {
        struct target_record *target = &record->target[i];
        target->capture = target->build = 0;
        target->until_mm = 0.0;
        memset(target->entered_mm, 0, sizeof target->entered_mm);
        memset(target->entered_half_width_mm, 0, sizeof target->entered_half_width_mm);
    });
    ALL_EMPTY(record->hold, HOLDS_MAX, {
        struct hold_record *hold = &record->hold[i];
        hold->capture = hold->build = hold->target = hold->band = 0;
        hold->planned_s = hold->guessed_share = 0.0;
    });
    ALL_EMPTY(record->mark, MARKS_MAX, record->mark[i].hold = 0);
    ALL_EMPTY(record->note, NOTES_MAX, (void)0);
    ALL_EMPTY(record->check, CHECKS_MAX, {
        struct check_record *check = &record->check[i];
        check->placing = check->build = check->channel = check->capture = 0;
        memset(check->asked_mm, 0, sizeof check->asked_mm);
    });
    free(record);
}
END_TEST

/* Two of each, marked by their first byte, and a third that is not in use. */
#define MARK_THREE(record, records, first)                                                         \
    (record)->records##_count = 2;                                                                 \
    for (int i = 0; i < 3; i++) {                                                                  \
        memset(&(record)->records[i], (first) + i, 1);                                             \
    }
#define CHECK_TWO(record, records, first)                                                          \
    ck_assert_int_eq((record)->records##_count, 2);                                                \
    for (int i = 0; i < 3; i++) {                                                                  \
        unsigned char byte;                                                                        \
        memcpy(&byte, &(record)->records[i], 1);                                                   \
        ck_assert_msg(byte == (i < 2 ? (first) + i : 0), #records "[%d]", i);                      \
    }

START_TEST(a_session_begun_in_used_memory_is_an_empty_one)
{
    struct session_record *begun = malloc(sizeof *begun), *cleared = malloc(sizeof *cleared);
    ck_assert(begun != NULL && cleared != NULL);
    memset(begun, 0x5a, sizeof *begun);
    session_record_begin(begun);
    session_record_clear(cleared);
    ck_assert_int_eq(begun->setup[0].number, 0x5a5a5a5a); /* not written */
    struct session_header header, expected;
    session_record_header(begun, &header);
    session_record_header(cleared, &expected);
    ck_assert_mem_eq(&header, &expected, sizeof header);
    ck_assert_mem_eq(&begun->rider, &cleared->rider, sizeof begun->rider);
    ck_assert_mem_eq(&begun->bike, &cleared->bike, sizeof begun->bike);
    ck_assert(!begun->has_rider && !begun->has_bike);
    ck_assert_int_eq(begun->last_sample, 0);
    ck_assert_int_eq(begun->last_time_us, 0);
    for (int i = 0; i < STORED_TABLES; i++) {
        const struct stored_table *table = stored_tables[i];
        if (table->shape == SHAPE_RECORD && table->most > 0) {
            const char *count = (const char *)begun + table->count_offset;
            ck_assert_msg(*(const int *)(const void *)count == 0, "%s", table->name);
        }
    }
    free(cleared);
    free(begun);
}
END_TEST

START_TEST(what_is_in_use_is_copied)
{
    struct session_record *from = malloc(sizeof *from), *to = malloc(sizeof *to);
    ck_assert(from != NULL && to != NULL);
    session_record_clear(from);
    memset(to, 0, sizeof *to);
    strcpy(from->rider.code, "R-07");
    MARK_THREE(from, placing, 10);
    MARK_THREE(from, setup, 20);
    MARK_THREE(from, build, 30);
    MARK_THREE(from, tie_reading, 40);
    MARK_THREE(from, capture, 50);
    MARK_THREE(from, target, 60);
    MARK_THREE(from, band, 70);
    MARK_THREE(from, hold, 80);
    MARK_THREE(from, mark, 90);
    MARK_THREE(from, rating, 100);
    MARK_THREE(from, note, 110);
    MARK_THREE(from, check, 120);
    session_record_copy(to, from);
    ck_assert_str_eq(to->rider.code, "R-07");
    CHECK_TWO(to, placing, 10);
    CHECK_TWO(to, setup, 20);
    CHECK_TWO(to, build, 30);
    CHECK_TWO(to, tie_reading, 40);
    CHECK_TWO(to, capture, 50);
    CHECK_TWO(to, target, 60);
    CHECK_TWO(to, band, 70);
    CHECK_TWO(to, hold, 80);
    CHECK_TWO(to, mark, 90);
    CHECK_TWO(to, rating, 100);
    CHECK_TWO(to, note, 110);
    CHECK_TWO(to, check, 120);
    free(from);
    free(to);
}
END_TEST

START_TEST(setups_are_found_by_number)
{
    struct session_record *record = malloc(sizeof *record);
    ck_assert_ptr_nonnull(record);
    session_record_clear(record);
    ck_assert_int_eq(session_record_setup(record, 0), -1);
    record->setup_count = 3;
    record->setup[0].number = 1;
    record->setup[1].number = 4;
    record->setup[2].number = 2;
    ck_assert_int_eq(session_record_setup(record, 1), 0);
    ck_assert_int_eq(session_record_setup(record, 4), 1);
    static const int others[][2] = {{0, 0}, {1, 0}, {4, 1}, {9, 0}}; /* its number, its place */
    for (int i = 0; i < 4; i++) {
        record->settings.baseline_setup = others[i][0];
        ck_assert_int_eq(session_record_baseline(record), others[i][1]);
    }
    ck_assert_int_eq(session_record_setup(record, 2), 2);
    ck_assert_int_eq(session_record_setup(record, 3), -1);
    free(record);
}
END_TEST

/* Runs and legs as they are typed: a number, behind a point the leg's. */
START_TEST(runs_and_legs_are_found_by_number)
{
    static const struct {
        const char *text;
        bool found;
        int run, leg;
    } cases[] = {{"3", true, 0, -1},
                 {"5", true, 1, -1},
                 {"5.2", true, 1, 1},
                 {"3.2", false, 0, -1},
                 {"5.x", false, 1, -1},
                 {"4", false, -1, -1},
                 {"", false, -1, -1},
                 {".2", false, -1, -1},
                 {"x", false, -1, -1},
                 {"3.", false, 0, -1},
                 {"000000000000003", true, 0, -1},
                 {"0000000000000003", false, -1, -1}};
    struct session_record *record = malloc(sizeof *record);
    ck_assert_ptr_nonnull(record);
    session_record_clear(record);
    record->run_count = record->leg_count = 2;
    record->run[0].number = 3;
    record->run[1].number = 5;
    for (int i = 0; i < 2; i++) {
        leg_record_clear(&record->leg[i]);
        record->leg[i].run = 1;
        record->leg[i].number = i + 1;
    }
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        int run, leg;
        ck_assert_msg(session_record_ridden(record, cases[i].text, &run, &leg) == cases[i].found,
                      "'%s'", cases[i].text);
        ck_assert_msg(run == cases[i].run && leg == cases[i].leg, "'%s': %d, %d", cases[i].text,
                      run, leg);
    }
    free(record);
}
END_TEST

/* Laps as they are typed: one, or the first and the last of several; none said is all. */
START_TEST(laps_are_a_number_or_two)
{
    static const struct {
        const char *text;
        bool good;
        int from, to;
    } cases[] = {{NULL, true, 0, INT32_MAX},
                 {"", true, 0, INT32_MAX},
                 {"0", true, 0, 0},
                 {"7", true, 7, 7},
                 {"2..5", true, 2, 5},
                 {"5..5", true, 5, 5},
                 {"5..2", false, 0, 0},
                 {"-1", false, 0, 0},
                 {"2..", false, 0, 0},
                 {"..5", false, 0, 0},
                 {"two", false, 0, 0},
                 {"2147483647", false, 0, 0},
                 {"1..2147483647", false, 0, 0}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        int from, to;
        bool good = run_laps_range(cases[i].text, &from, &to);
        ck_assert_msg(good == cases[i].good, "case %zu", i);
        ck_assert_msg(!good || (from == cases[i].from && to == cases[i].to), "case %zu: %d, %d", i,
                      from, to);
    }
}
END_TEST

/* What was learnt of a rider and of all, by variance and degrees of freedom: both together weigh by
 * their degrees of freedom; what is no spread (none, or a value that can't be) says nothing. */
START_TEST(what_was_learnt_is_taken_as_it_was_wanted)
{
    static const struct {
        enum learnt_from from;
        double rider_sd, rider_df, store_sd, store_df, variance, df;
    } cases[] = {
        {LEARNT_FROM_RIDER, 3.0, 6.0, 5.0, 10.0, 9.0, 6.0},
        {LEARNT_FROM_STORE, 3.0, 6.0, 5.0, 10.0, 25.0, 10.0},
        {LEARNT_FROM_NONE, 3.0, 6.0, 5.0, 10.0, 0.0, 0.0},
        {LEARNT_FROM_ALL, 3.0, 6.0, 5.0, 10.0, 19.0, 16.0}, /* (6 x 9 + 10 x 25) / 16 */
        {LEARNT_FROM_RIDER, (double)NAN, 6.0, 5.0, 10.0, 0.0, 0.0},
        {LEARNT_FROM_RIDER, 3.0, (double)INFINITY, 5.0, 10.0, 0.0, 0.0},
        {LEARNT_FROM_RIDER, 0.0, 6.0, 5.0, 10.0, 0.0, 0.0},
        {LEARNT_FROM_RIDER, 3.0, 0.0, 5.0, 10.0, 0.0, 0.0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct comparison_settings settings = {.learnt_from = cases[i].from};
        settings.learnt[1] = (struct learnt_repeatability){.rider_sd_mm = cases[i].rider_sd,
                                                           .rider_df = cases[i].rider_df,
                                                           .store_sd_mm = cases[i].store_sd,
                                                           .store_df = cases[i].store_df};
        struct spread spread = learnt_spread(&settings, 1);
        ck_assert_double_eq_tol(spread.variance, cases[i].variance, 1e-12);
        ck_assert_double_eq_tol(spread.df, cases[i].df, 1e-12);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("record");
    TCase *tests = tcase_create("record");
    tcase_add_test(tests, marks_are_found_by_their_own_words);
    tcase_add_test(tests, the_quantities_of_checks_are_the_public_ones);
    tcase_add_test(tests, an_empty_session_has_nothing_given);
    tcase_add_test(tests, an_empty_session_has_nothing_between);
    tcase_add_test(tests, an_empty_session_is_zero_but_for_what_is_not_given);
    tcase_add_test(tests, a_session_begun_in_used_memory_is_an_empty_one);
    tcase_add_test(tests, what_is_in_use_is_copied);
    tcase_add_test(tests, setups_are_found_by_number);
    tcase_add_test(tests, runs_and_legs_are_found_by_number);
    tcase_add_test(tests, laps_are_a_number_or_two);
    tcase_add_test(tests, what_was_learnt_is_taken_as_it_was_wanted);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
