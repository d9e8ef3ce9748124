/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The plan of the hour: by hand, a setup takes 5 minutes of a change, 2 to ride in, three holds of
 * half a minute with rests of 0.75 between them, 0.5 for the rating: 10.5. */
#include "analysis/plan_of_hour.h"
#include "support/test_main.h"

#include <math.h>
#include <stdlib.h>

static struct session_record *record;
static struct analysis *analysis;
static struct plan_of_hour plan;
static struct hour_holds asked;

static void begin(void)
{
    record = calloc(1, sizeof *record);
    analysis = analysis_create();
    ck_assert(record != NULL && analysis != NULL);
    session_record_clear(record);
    analysis->channel_count = 1;
    analysis->body[0] = true;
    asked = (struct hour_holds){.each = {30.0, 3}, .times = {5.0, 2.0, 0.0, 0.5, 0.75}};
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
    plan_of_hour_make(record, analysis, record->build_count - 1, minutes_left, &asked, &plan);
}

START_TEST(a_setup_takes_what_its_parts_take)
{
    ck_assert_double_eq(plan_of_hour_setup_min(&asked), 10.5);
    asked.each = (struct plan_holds){60.0, 2};
    ck_assert_double_eq(plan_of_hour_setup_min(&asked), 10.25);
}
END_TEST

/* Three holds are still to be ridden on the build: 3 x (0.5 + 0.75) = 3.75 minutes. */
START_TEST(room_is_kept_for_the_way_back)
{
    make(60.0); /* nothing on the bike yet */
    ck_assert(!plan.keeps_room && !plan.closed);
    ck_assert_int_eq(plan.setups_fit, 5);
    int first = build(0);
    make(14.25);
    ck_assert(!plan.keeps_room);
    ck_assert_int_eq(plan.setups_fit, 1);
    ck_assert(!plan.return_due);
    make(14.24);
    ck_assert_int_eq(plan.setups_fit, 0);
    hold(first);
    make(13.0);
    ck_assert_int_eq(plan.setups_fit, 1);
    build(1);
    make(24.75); /* this much for one more, and as much for the first once more */
    ck_assert(plan.keeps_room && !plan.return_due);
    ck_assert_int_eq(plan.setups_fit, 1);
    make(24.74);
    ck_assert_int_eq(plan.setups_fit, 0);
    ck_assert(plan.return_due);
    make(-3.0);
    ck_assert_int_eq(plan.setups_fit, 0);
    make(NAN); /* no end was planned: nothing is due */
    ck_assert(!plan.return_due);
    build(0);
    make(14.25);
    ck_assert(plan.closed && !plan.keeps_room && !plan.return_due);
    ck_assert_int_eq(plan.setups_fit, 1);
    build(1);
    make(14.25);
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
    int brief = record->hold_count; /* of no sensor that is there are there limits */
    hold(second);
    analysis->hold[brief].summary[0].has_interval = false;
    analysis->body[1] = analysis->hold[brief].has[1] = true;
    analysis->hold[brief].summary[1].has_interval = true;
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

/* Holds of half a minute that begin so many minutes after the one before has ended. */
static void ride(int build, int holds, double rest_min, double change_min)
{
    for (int i = 0; i < holds; i++) {
        int h = record->hold_count;
        double gap_min = h == 0 ? 0.0 : i == 0 ? change_min : rest_min;
        hold(build);
        analysis->hold[h].duration_s = 30.0;
        analysis->hold[h].start_s = h == 0 ? 0.0
                                           : analysis->hold[h - 1].start_s +
                                                 analysis->hold[h - 1].duration_s + 60.0 * gap_min;
    }
}

static void repeats(double sd_mm, double df)
{
    analysis->free_heights[0].matters = 10.0;
    analysis->free_heights[0].has_repeatability = true;
    analysis->free_heights[0].repeatability = sd_mm;
    analysis->free_heights[0].repeatability_df = df;
}

static void choose(double minutes_left, struct plan_holds so_far)
{
    plan_of_hour_choose(record, analysis, record->build_count - 1, minutes_left, &so_far, &asked);
}

/* Nothing known: what 'plan' says of three setups, 4 mm and the plate. */
START_TEST(a_usual_hour)
{
    build(0);
    choose(NAN, plan_usual_holds());
    ck_assert_int_eq(asked.each.holds, 4);
    ck_assert_double_eq(asked.each.hold_s, 30.0);
    ck_assert_int_eq(asked.why, HOUR_AS_BEFORE);
    ck_assert_double_eq(asked.hold_sd_mm, 4.0);
    ck_assert_double_ge(asked.chance, 0.8);
    ck_assert_double_eq(asked.times.rest_min, 0.75);
    ck_assert_double_eq(asked.times.change_min, 5.0);
    choose(60.0, asked.each);
    ck_assert_int_eq(asked.each.holds, 4);
}
END_TEST

/* 4 mm and what was seen, weighted by 3 and its degrees of freedom: sqrt((3 x 16 + 9 x 36)/12). */
START_TEST(holds_as_they_repeat)
{
    ride(build(0), 4, 0.75, 0);
    build(1);
    repeats(6.0, 9.0);
    choose(NAN, (struct plan_holds){30.0, 4});
    ck_assert_int_eq(asked.why, HOUR_REPEATS);
    ck_assert_double_eq_tol(asked.hold_sd_mm, sqrt((3.0 * 16.0 + 9.0 * 36.0) / 12.0), 0.2);
    ck_assert_int_eq(asked.each.holds, 6);
    repeats(2.0, 9.0); /* fewer than three where time does not press: never */
    choose(NAN, (struct plan_holds){30.0, 4});
    ck_assert_int_eq(asked.each.holds, 3);
    choose(NAN, (struct plan_holds){60.0, 3}); /* as many, and shorter */
    ck_assert_int_eq(asked.each.holds, 3);
    ck_assert_double_eq(asked.each.hold_s, 30.0);
    ck_assert_int_eq(asked.why, HOUR_REPEATS);
    repeats(3.7, 9.0); /* hardly another: it stays */
    choose(NAN, (struct plan_holds){30.0, 4});
    ck_assert_int_eq(asked.each.holds, 4);
    ck_assert_int_eq(asked.why, HOUR_AS_BEFORE);
}
END_TEST

/* What was learnt of how holds repeat is not reckoned with where no repeatability is known, and of
 * no channel that is none of the body. */
START_TEST(what_is_learnt_is_of_what_is_known)
{
    ride(build(0), 4, 0.75, 0);
    build(1);
    choose(NAN, (struct plan_holds){30.0, 4});
    const struct hour_holds unknown = asked;
    repeats(0.0, 0.0);
    analysis->free_heights[0].repeatability_learnt_df = 100.0;
    for (int has = 0; has < 2; has++) {
        analysis->free_heights[0].has_repeatability = has;
        choose(NAN, (struct plan_holds){30.0, 4});
        ck_assert_double_eq(asked.chance, unknown.chance);
        ck_assert_int_eq(asked.each.holds, unknown.each.holds);
        ck_assert_int_eq(asked.why, HOUR_AS_BEFORE);
    }
    repeats(6.0, 9.0);
    choose(NAN, (struct plan_holds){30.0, 4});
    double learnt = asked.chance;
    analysis->free_heights[0].repeatability_learnt_df = 0.0;
    choose(NAN, (struct plan_holds){30.0, 4});
    ck_assert_double_ne(asked.chance, learnt);
    analysis->body[0] = false;
    choose(NAN, (struct plan_holds){30.0, 4});
    ck_assert_double_eq(asked.hold_sd_mm, unknown.hold_sd_mm);
}
END_TEST

/* Six millimetres where twenty matter are found more easily than three where five do. */
START_TEST(the_part_on_which_it_is_hardest_counts)
{
    ride(build(0), 4, 0.75, 0);
    build(1);
    repeats(6.0, 9.0);
    analysis->channel_count = 2;
    analysis->body[1] = true;
    analysis->free_heights[1] = analysis->free_heights[0];
    analysis->free_heights[0].matters = 20.0;
    analysis->free_heights[1].matters = 5.0;
    analysis->free_heights[1].repeatability = 3.0;
    choose(NAN, (struct plan_holds){30.0, 4});
    ck_assert_double_eq_tol(asked.hold_sd_mm, sqrt((3.0 * 16.0 + 9.0 * 9.0) / 12.0), 0.3);
    struct comparison first = analysis->free_heights[0]; /* whichever comes first */
    analysis->free_heights[0] = analysis->free_heights[1];
    analysis->free_heights[1] = first;
    double hardest_mm = asked.hold_sd_mm;
    choose(NAN, (struct plan_holds){30.0, 4});
    ck_assert_double_eq(asked.hold_sd_mm, hardest_mm);
}
END_TEST

/* The worst tie of the body counts, where it is one, and worse than the plate's. */
START_TEST(what_is_tied_worst_counts)
{
    build(0);
    build(1);
    choose(40.0, plan_usual_holds());
    double usual = asked.chance;
    for (int how = 0; how < 5; how++) {
        struct tie *tie = &analysis->tie[how == 4 ? 2 : 1][how == 2 ? 1 : 0];
        tie->kind = how == 1 ? TIE_NONE : TIE_PLATE;
        tie->u_build_mm = how == 3 ? 0.5 : 8.0;
        choose(40.0, plan_usual_holds());
        ck_assert_msg((asked.chance < usual) == (how == 0), "%d: %g, %g", how, asked.chance, usual);
        *tie = (struct tie){.kind = TIE_NONE};
    }
}
END_TEST

/* A visit that begins on its second setup has one build less before it. */
START_TEST(builds_before_this_one_take_no_time)
{
    build(1);
    choose(24.0, plan_usual_holds());
    int second = asked.each.holds;
    record->build[0].setup = 0;
    choose(24.0, plan_usual_holds());
    ck_assert_msg(second > asked.each.holds, "%d, %d", second, asked.each.holds);
    int first = asked.each.holds;
    record->build_count = 0; /* nothing on the bike yet */
    choose(24.0, plan_usual_holds());
    ck_assert_int_eq(asked.each.holds, first);
}
END_TEST

/* Two setups and the return: 2 + 2 x 7 of changes and riding in, 2 x 0.5 of ratings, three builds
 * of n holds of 0.5 with n - 1 rests of 0.75: 17 - 2.25 + 3.75 n. */
START_TEST(what_fits_into_the_minutes)
{
    build(0);
    choose(26.1, plan_usual_holds());
    ck_assert_int_eq(asked.each.holds, 3);
    choose(25.9, plan_usual_holds());
    ck_assert_int_eq(asked.each.holds, 2);
    ck_assert_int_eq(asked.why, HOUR_NO_MORE_FIT);
}
END_TEST

/* Medians with the usual: rests of 2, 2, 2 and .75 minutes; a change of 12 between holds is 9.5
 * without riding in and rating, with the usual 5: 7.25. */
START_TEST(times_as_seen)
{
    ride(build(0), 4, 2.0, 0);
    ride(build(1), 1, 2.0, 12.0);
    build(2);
    choose(NAN, plan_usual_holds());
    ck_assert_double_eq_tol(asked.times.rest_min, 2.0, 1e-9);
    ck_assert_double_eq_tol(asked.times.change_min, 7.25, 1e-9);
    ck_assert_double_eq(asked.times.ride_in_min, 2.0);
    record->hold[1].status = record->hold[2].status = HOLD_RUNNING; /* as of a store that was cut */
    choose(NAN, plan_usual_holds());
    ck_assert_double_eq_tol(asked.times.rest_min, 1.375, 1e-9); /* of 2 and .75 */
    const struct plan_holds usual = plan_usual_holds();         /* as it was on the second build */
    plan_of_hour_choose(record, analysis, 1, NAN, &usual, &asked);
    ck_assert_double_eq_tol(asked.times.change_min, 5.0, 1e-9);
    record->hold_count = 0;
    ride(0, 4, 0.0, 0.0); /* files, one after the other */
    ride(1, 4, 0.0, 0.0);
    choose(NAN, plan_usual_holds());
    ck_assert_double_eq_tol(asked.times.rest_min, 0.25, 1e-9);
    record->hold_count = 0;
    ride(0, 3, 4.0, 0.0); /* of one whose samples are not there nothing is known */
    analysis->hold[1].duration_s = 0.0;
    choose(NAN, plan_usual_holds());
    ck_assert_double_eq_tol(asked.times.rest_min, 0.75, 1e-9);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("plan_of_hour");
    TCase *tests = tcase_create("plan_of_hour");
    tcase_add_checked_fixture(tests, begin, end);
    tcase_add_test(tests, a_setup_takes_what_its_parts_take);
    tcase_add_test(tests, room_is_kept_for_the_way_back);
    tcase_add_test(tests, a_usual_hour);
    tcase_add_test(tests, holds_as_they_repeat);
    tcase_add_test(tests, what_is_learnt_is_of_what_is_known);
    tcase_add_test(tests, builds_before_this_one_take_no_time);
    tcase_add_test(tests, the_part_on_which_it_is_hardest_counts);
    tcase_add_test(tests, what_is_tied_worst_counts);
    tcase_add_test(tests, what_fits_into_the_minutes);
    tcase_add_test(tests, times_as_seen);
    tcase_add_test(tests, three_free_holds_and_one_more_where_one_had_not_settled);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
