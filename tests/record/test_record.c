/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "record/record.h"
#include "support/test_main.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

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

START_TEST(rating_items_have_keys_of_their_own)
{
    for (int i = 0; i < RATING_ITEMS; i++) {
        ck_assert_ptr_nonnull(rating_fields[i].key);
        ck_assert_int_gt((int)strlen(rating_fields[i].words), 0);
        ck_assert_ptr_null(strchr(rating_fields[i].key, ' '));
        for (int j = 0; j < i; j++) {
            ck_assert_str_ne(rating_fields[i].key, rating_fields[j].key);
        }
    }
    ck_assert_str_eq(rating_fields[RATING_EFFORT].key, "effort");
    ck_assert_str_eq(rating_fields[RATING_NECK].key, "neck");
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
    ck_assert(uuid_is_nil(&record->uuid));
    ck_assert_int_eq(record->settings.baseline_setup, 1);
    ck_assert(isnan(record->settings.trunk_slope_deg));
    ck_assert_double_eq(record->settings.matters_mm[CHANNELS_MAX - 1], 10.0);
    for (int i = 0; i < BIKE_KEYS; i++) {
        ck_assert(isnan(record->setup[SETUPS_MAX - 1].bike.value[i]));
        ck_assert(isnan(record->bike.frame.value[i]));
    }
    const struct rating_record *rating = &record->rating[RATINGS_MAX - 1];
    for (int i = 0; i < RATING_ITEMS; i++) {
        ck_assert_int_eq(rating->score[i], -1);
    }
    ck_assert(isnan(rating->could_stay_min));
    ck_assert_int_eq(rating->sees_ahead, SEES_UNKNOWN);
    ck_assert_int_eq(rating->would_race, ANSWER_UNKNOWN);
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
    free(record);
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
    ck_assert_int_eq(session_record_setup(record, 2), 2);
    ck_assert_int_eq(session_record_setup(record, 3), -1);
    free(record);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("record");
    TCase *tests = tcase_create("record");
    tcase_add_test(tests, marks_are_found_by_their_own_words);
    tcase_add_test(tests, rating_items_have_keys_of_their_own);
    tcase_add_test(tests, an_empty_session_has_nothing_given);
    tcase_add_test(tests, setups_are_found_by_number);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
