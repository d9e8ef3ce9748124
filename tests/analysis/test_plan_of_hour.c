/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The plan of the hour: by hand, a setup takes 5 minutes of a change, 2 to ride in, two holds of 1
 * with a rest of 0.75 between them, 0.5 for the rating: 10.25. */
#include "analysis/plan_of_hour.h"
#include "support/test_main.h"

#include <math.h>
#include <stdlib.h>

static struct session_record *record;
static struct analysis *analysis;
static struct plan_of_hour plan;

static void begin(void)
{
    record = calloc(1, sizeof *record);
    analysis = analysis_create();
    ck_assert(record != NULL && analysis != NULL);
    session_record_clear(record);
    analysis->channel_count = 1;
    analysis->body[0] = true;
}

static void end(void)
{
    free(record);
    analysis_destroy(analysis);
}

static int build(int setup)
{
    int ordinal = 1;
    for (int b = 0; b < record->build_count; b++) {
        ordinal += record->build[b].setup == setup ? 1 : 0;
    }
    record->setup_count = setup >= record->setup_count ? setup + 1 : record->setup_count;
    record->build[record->build_count] = (struct build_record){.setup = setup, .ordinal = ordinal};
    return record->build_count++;
}

static struct hold_record *hold(int build)
{
    int h = record->hold_count++;
    record->hold[h] =
        (struct hold_record){.number = h + 1, .build = build, .status = HOLD_COMPLETE};
    analysis->hold[h].has[0] = true;
    analysis->hold[h].summary[0].status = MEASURE_OK;
    analysis->hold[h].summary[0].has_interval = true;
    return &record->hold[h];
}

static void make(double minutes_left)
{
    plan_of_hour_make(record, analysis, record->build_count - 1, minutes_left, &plan);
}

START_TEST(a_setup_takes_what_its_parts_take)
{
    ck_assert_double_eq(plan_of_hour_setup_min(), 10.5);
}
END_TEST

START_TEST(room_is_kept_for_the_way_back)
{
    make(60.0); /* nothing on the bike yet */
    ck_assert(!plan.keeps_room && !plan.closed);
    ck_assert_int_eq(plan.setups_fit, 5);
    build(0);
    make(10.5);
    ck_assert(!plan.keeps_room);
    ck_assert_int_eq(plan.setups_fit, 1);
    ck_assert(!plan.return_due);
    build(1);
    make(21.0); /* this much for one more, and as much for the first once more */
    ck_assert(plan.keeps_room && !plan.return_due);
    ck_assert_int_eq(plan.setups_fit, 1);
    make(20.99);
    ck_assert_int_eq(plan.setups_fit, 0);
    ck_assert(plan.return_due);
    make(-3.0);
    ck_assert_int_eq(plan.setups_fit, 0);
    make(NAN); /* no end was planned: nothing is due */
    ck_assert(!plan.return_due);
    build(0);
    make(10.5);
    ck_assert(plan.closed && !plan.keeps_room && !plan.return_due);
    ck_assert_int_eq(plan.setups_fit, 1);
    build(1);
    make(10.5);
    ck_assert(!plan.closed && plan.return_due);
}
END_TEST

START_TEST(three_free_holds_and_one_more_where_one_had_not_settled)
{
    int first = build(0), second = build(1);
    hold(first);
    make(NAN);
    ck_assert_int_eq(plan.holds, 0);
    ck_assert_int_eq(plan.holds_wanted, 3);
    hold(second);
    hold(second)->guided = true;
    hold(second)->rejected = true;
    hold(second)->kept_afterwards = true;
    hold(second)->status = HOLD_RUNNING;
    make(NAN);
    ck_assert_int_eq(plan.holds, 1);
    ck_assert_int_eq(plan.unsettled, 0);
    hold(second);
    analysis->hold[record->hold_count - 1].not_settled = true;
    make(NAN);
    ck_assert_int_eq(plan.holds, 2);
    ck_assert_int_eq(plan.unsettled, record->hold_count);
    ck_assert_int_eq(plan.holds_wanted, 4);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("plan_of_hour");
    TCase *tests = tcase_create("plan_of_hour");
    tcase_add_checked_fixture(tests, begin, end);
    tcase_add_test(tests, a_setup_takes_what_its_parts_take);
    tcase_add_test(tests, room_is_kept_for_the_way_back);
    tcase_add_test(tests, three_free_holds_and_one_more_where_one_had_not_settled);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
