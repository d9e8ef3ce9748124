/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What a setup's ratings come to, item by item, and what they say against going lower from it. */
#include "analysis/setup_ratings.h"
#include "support/test_main.h"

#include <math.h>
#include <stdlib.h>

static struct session_record *record;

static void set_up(void)
{
    record = calloc(1, sizeof *record);
    ck_assert_ptr_nonnull(record);
    session_record_clear(record);
    record->setup_count = 2;
}

static void tear_down(void)
{
    free(record);
}

static void rate(int setup, int item, double value)
{
    struct rating_record *rating = &record->rating[record->rating_count++];
    rating_clear(rating);
    rating->setup = setup;
    rating->value[item] = value;
}

/* The middle of what was felt, the worst of what ends it, the latest of what is wanted; of the
 * setup's own ratings that were given. */
START_TEST(an_item_over_a_setups_ratings)
{
    static const struct {
        int item;
        double given[3], over;
    } tried[] = {
        {RATING_NECK, {7, 2, 3}, 3},
        {RATING_NUMB_HANDS, {ANSWER_NO, ANSWER_YES, ANSWER_NO}, ANSWER_YES},
        {RATING_SEES_AHEAD, {SEES_YES, SEES_NO, SEES_STRAINED}, SEES_NO},
        {RATING_WOULD_RACE, {ANSWER_YES, ANSWER_YES, ANSWER_NO}, ANSWER_NO},
    };
    for (size_t i = 0; i < sizeof tried / sizeof tried[0]; i++) {
        record->rating_count = 0;
        ck_assert(isnan(setup_rating(record, 1, tried[i].item)));
        for (int r = 0; r < 3; r++) {
            rate(1, tried[i].item, tried[i].given[r]);
        }
        rate(0, tried[i].item, 9); /* of another setup */
        rate(1, RATING_EFFORT, 5); /* not of this item */
        ck_assert_msg(setup_rating(record, 1, tried[i].item) == tried[i].over, "%zu", i);
        record->rating_count = 1; /* the others were taken back */
        ck_assert_double_eq(setup_rating(record, 1, tried[i].item), tried[i].given[0]);
    }
}
END_TEST

START_TEST(the_weightiest_complaint)
{
    ck_assert_int_eq(setup_complaint(record, 1), COMPLAINT_NONE);
    rate(1, RATING_NECK, 10);
    rate(1, RATING_SEES_AHEAD, SEES_YES);
    rate(1, RATING_NUMB_HANDS, ANSWER_NO);
    rate(1, RATING_WOULD_RACE, ANSWER_NO);
    ck_assert_int_eq(setup_complaint(record, 1), COMPLAINT_NONE);
    rate(1, RATING_SEES_AHEAD, SEES_STRAINED);
    ck_assert_int_eq(setup_complaint(record, 1), COMPLAINT_STRAINED);
    rate(1, RATING_NUMB_SADDLE, ANSWER_YES);
    ck_assert_int_eq(setup_complaint(record, 1), COMPLAINT_NUMB);
    ck_assert(!setup_sight_failed(record, 1));
    rate(1, RATING_SEES_AHEAD, SEES_NO);
    rate(1, RATING_SEES_AHEAD, SEES_YES);
    ck_assert_int_eq(setup_complaint(record, 1), COMPLAINT_FAILED);
    ck_assert(setup_sight_failed(record, 1));
    ck_assert_int_eq(setup_complaint(record, 0), COMPLAINT_NONE);
}
END_TEST

START_TEST(as_many_ratings_as_there_can_be)
{
    while (record->rating_count < RATINGS_MAX) {
        rate(1, RATING_HANDS, record->rating_count % 2 == 0 ? 2 : 4);
    }
    ck_assert_double_eq(setup_rating(record, 1, RATING_HANDS), 3.0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("setup_ratings");
    TCase *tests = tcase_create("setup_ratings");
    suite_add_tcase(suite, tests);
    tcase_add_checked_fixture(tests, set_up, tear_down);
    tcase_add_test(tests, an_item_over_a_setups_ratings);
    tcase_add_test(tests, the_weightiest_complaint);
    tcase_add_test(tests, as_many_ratings_as_there_can_be);
    return test_main(suite);
}
