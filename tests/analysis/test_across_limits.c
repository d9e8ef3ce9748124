/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Which sessions can be put together, and which of their holds have a say. */
#include "support/test_main.h"

#include "analysis/across.h"
#include "analysis/visits.h"
#include "support/bikes.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static struct session_record *record[2];
static struct analysis *analysis[2];
static struct across_session sessions[ACROSS_SESSIONS_MAX + 1];
static struct problem problem;

/* Two sessions of one rider, of two channels of the body; setups, builds and holds as asked for.
 * What is asked of more sessions are these again. */
static void set_up(void)
{
    memset(&problem, 0, sizeof problem);
    for (int s = 0; s < 2; s++) {
        record[s] = calloc(1, sizeof *record[s]);
        analysis[s] = analysis_create();
        ck_assert(record[s] != NULL && analysis[s] != NULL);
        session_record_clear(record[s]);
        record[s]->has_rider = true;
        strcpy(record[s]->rider.code, "R-07");
        record[s]->placing_count = 1;
        record[s]->placing[0].channel_count = analysis[s]->channel_count = 3;
        for (int c = 0; c < 3; c++) {
            const char *name = c == 0 ? "head" : c == 1 ? "power" : "chest";
            strcpy(record[s]->placing[0].channel[c].name, name);
            strcpy(analysis[s]->channel_name[c], name);
            strcpy(record[s]->placing[0].channel[c].mark, "strap");
            analysis[s]->body[c] = c != 1;
            record[s]->settings.matters_mm[c] = 10.0;
        }
    }
    for (int s = 0; s <= ACROSS_SESSIONS_MAX; s++) {
        sessions[s] = (struct across_session){s + 1, record[s % 2], analysis[s % 2]};
    }
}

static void tear_down(void)
{
    for (int s = 0; s < 2; s++) {
        free(record[s]);
        analysis_destroy(analysis[s]);
    }
}

/* So many of each, in both sessions; holds one after the other on all builds. */
static void fill(int setups, int builds, int holds)
{
    for (int s = 0; s < 2; s++) {
        record[s]->setup_count = setups;
        record[s]->build_count = builds;
        record[s]->hold_count = holds;
        for (int i = 0; i < setups; i++) {
            record[s]->setup[i].number = i + 1;
        }
        for (int b = 0; b < builds; b++) {
            record[s]->build[b].setup = b % setups;
            for (int c = 0; c < 3; c++) {
                analysis[s]->tie[b][c] = (struct tie){.kind = TIE_PLATE,
                                                      .absolute = true,
                                                      .u_absolute_mm = 2.0,
                                                      .u_own_mm = 2.0,
                                                      .sensor_height_mm = 500.0};
            }
        }
        for (int h = 0; h < holds; h++) {
            struct hold_result *result = &analysis[s]->hold[h];
            record[s]->hold[h] =
                (struct hold_record){.number = h + 1, .build = h % builds, .target = -1};
            result->counts = true;
            for (int c = 0; c < 3; c++) {
                result->has[c] = true;
                result->summary[c] =
                    (struct hold_summary){.has_interval = true,
                                          .mean_mm = 900.0 - 12.0 * (h % setups) + (h * 7) % 5,
                                          .mean_se_mm = 0.5,
                                          .kept_s = 60.0};
            }
        }
    }
}

static void refused(int count, int baseline, const char *why)
{
    problem.sentence[0] = '\0';
    struct across *across = across_make(sessions, count, baseline, &problem);
    ck_assert_ptr_null(across);
    ck_assert_msg(strstr(problem.sentence, why) != NULL, "%s", problem.sentence);
}

static struct across *put_together(int count)
{
    struct across *across = across_make(sessions, count, -1, &problem);
    ck_assert_msg(across != NULL, "%s", problem.sentence);
    return across;
}

START_TEST(sessions_are_of_one_rider)
{
    fill(1, 1, 2);
    across_destroy(put_together(2));
    strcpy(record[1]->rider.code, "R-08");
    refused(2, -1, "sessions 1 and 2 are not of one rider ('R-07' and 'R-08')");
    strcpy(record[1]->rider.code, "R-07");
    record[1]->has_rider = false;
    refused(2, -1, "not of one rider");
    record[1]->has_rider = true;
    record[0]->has_rider = false;
    refused(2, -1, "not of one rider");
}
END_TEST

START_TEST(there_are_only_so_many_of_each)
{
    fill(1, 1, 2);
    refused(0, -1, "0 sessions: at least one");
    refused(ACROSS_SESSIONS_MAX + 1, -1, "sessions: at least one");
    across_destroy(put_together(ACROSS_SESSIONS_MAX));
    refused(2, 2, "there is no setup 3 here: there are 2");
    fill(2, 2, 2); /* of bikes of which nothing is known none is another's */
    refused(ACROSS_SESSIONS_MAX, -1, "more than 40 setups: choose fewer sessions");
    fill(1, 1, 20);
    refused(ACROSS_SESSIONS_MAX, -1, "more than 400 holds or 100 builds");
    fill(1, 5, 5);
    refused(ACROSS_SESSIONS_MAX, -1, "more than 400 holds or 100 builds");
}
END_TEST

/* What does not count has no say; where nothing does, that is said, and of runs why. */
START_TEST(free_holds_that_count)
{
    fill(1, 1, 3);
    record[0]->hold[0].guided = true;
    analysis[0]->hold[1].counts = false;
    struct across *across = put_together(2);
    ck_assert_int_eq(across->setup[0].holds_in[0], 1);
    ck_assert_int_eq(across->setup[1].holds_in[1], 3);
    across_destroy(across);
    for (int s = 0; s < 2; s++) {
        record[s]->hold_count = 0;
    }
    refused(2, -1, "there is no free hold that counts");
    record[1]->run_count = 1;
    refused(2, -1, "these sessions have runs");
    across = across_make_visits(sessions, 2, &problem); /* of visits ratings are told, too */
    ck_assert_ptr_nonnull(across);
    across_destroy(across);
}
END_TEST

/* A hold whose sensor saw too little is none of that channel; the others are. */
START_TEST(each_channel_by_its_own_holds)
{
    fill(1, 1, 4);
    analysis[1]->hold[0].has[0] = false;
    analysis[1]->hold[1].summary[0].status = MEASURE_TOO_FEW;
    analysis[1]->hold[2].summary[0].has_interval = false;
    struct across *across = put_together(2);
    ck_assert_int_eq(across->channel_count, 2); /* power is no channel of the body */
    ck_assert_int_eq(across->channel[0].heights.setup[1].holds, 1);
    ck_assert_int_eq(across->channel[1].heights.setup[1].holds, 4);
    across_destroy(across);
}
END_TEST

/* As many setups as can be compared, and the same in another session; as many holds and builds. */
START_TEST(as_many_of_each_as_can_be_compared)
{
    fill(COMPARE_SETUPS_MAX, COMPARE_SETUPS_MAX, COMPARE_SETUPS_MAX);
    for (int s = 0; s < 2; s++) {
        for (int i = 0; i < COMPARE_SETUPS_MAX; i++) {
            record[s]->setup[i].bike = usual_bike();
            record[s]->setup[i].bike.value[BIKE_PAD_RISE] = i;
        }
    }
    struct across *across = put_together(2);
    ck_assert_int_eq(across->setup_count, COMPARE_SETUPS_MAX);
    for (int i = 0; i < COMPARE_SETUPS_MAX; i++) {
        ck_assert(across->setup[i].holds_in[0] == 1 && across->setup[i].holds_in[1] == 1);
    }
    across_destroy(across);
    fill(1, COMPARE_BUILDS_MAX / 20, COMPARE_HOLDS_MAX / 20);
    across = put_together(20);
    ck_assert_int_eq(across->channel[0].heights.setup[0].holds, COMPARE_HOLDS_MAX);
    ck_assert_int_eq(across->channel[0].heights.setup[0].builds, COMPARE_BUILDS_MAX);
    across_destroy(across);
}
END_TEST

/* Of a sensor that was not there on a visit, and of a setup that was not held, nothing is told. */
START_TEST(a_visit_without_a_sensor_or_a_setup)
{
    fill(2, 2, 4);
    strcpy(analysis[1]->channel_name[0], "hips");
    strcpy(record[1]->placing[0].channel[0].name, "hips");
    for (int s = 0; s < 2; s++) {
        for (int c = 0; c < 3; c++) {
            analysis[s]->free_heights[c].setup_count = 2;
            for (int i = 0; i < 2; i++) {
                analysis[s]->free_heights[c].setup[i] =
                    (struct setup_estimate){.holds = 2, .tied = true, .mean = 900.0};
            }
        }
    }
    analysis[0]->free_heights[3] = analysis[0]->free_heights[0]; /* of no sensor that is there */
    analysis[0]->body[3] = true;
    strcpy(analysis[0]->channel_name[3], "hips");
    analysis[1]->hold[1].counts = analysis[1]->hold[3].counts = false;
    struct across *across = put_together(2);
    ck_assert_int_eq(across->setup_count, 3);
    ck_assert_int_eq(across->channel_count, 3); /* head, chest, hips */
    ck_assert(visit_height(across, 0, 0, 0).measured && visit_height(across, 0, 0, 1).measured);
    ck_assert(!visit_height(across, 0, 0, 2).measured);
    ck_assert(!visit_height(across, 1, 2, 0).measured && visit_height(across, 1, 2, 1).measured);
    ck_assert(visit_height(across, 1, 2, 2).measured);
    ck_assert(!visit_height(across, 1, 0, 1).measured && !visit_height(across, 0, 2, 1).measured);
    record[0]->rating_count = 1;
    rating_clear(&record[0]->rating[0]);
    record[0]->rating[0].setup = 0;
    record[0]->rating[0].value[RATING_NECK] = 3.0;
    ck_assert_double_eq(visit_rating(across, 0, 0, RATING_NECK), 3.0);
    ck_assert(isnan(visit_rating(across, 1, 0, RATING_NECK)));
    ck_assert(isnan(visit_rating(across, 0, 1, RATING_NECK)));
    ck_assert_int_eq(visit_chosen(across, 1), -1); /* of which setup 1 was not held, either */
    record[1]->settings.chosen_setup = 1;
    ck_assert_int_eq(visit_chosen(across, 1), 2);
    record[1]->settings.chosen_setup = 2; /* which was not held then */
    ck_assert_int_eq(visit_chosen(across, 1), -1);
    ck_assert_int_eq(visit_next(across, 0, 0), -1);
    ck_assert_int_eq(visit_next(across, -1, 0), 0);
    across_destroy(across);
}
END_TEST

/* Where a session has no such sensor, none that is tied, or another mark: its heights stand apart.
 */
START_TEST(heights_that_stand_apart)
{
    fill(1, 1, 2);
    strcpy(analysis[1]->channel_name[2], "hips");
    strcpy(record[1]->placing[0].channel[2].name, "hips");
    analysis[1]->tie[0][0].u_absolute_mm = NAN;
    struct across *across = put_together(2);
    ck_assert_int_eq(across->channel_count, 3);
    ck_assert_int_eq(across->channel[1].apart[1], APART_NOT_MEASURED);
    ck_assert_int_eq(across->channel[2].apart[0], APART_NOT_MEASURED);
    ck_assert_int_eq(across->channel[0].apart[1], APART_NOT_TIED);
    across_destroy(across);
    analysis[1]->tie[0][0].u_absolute_mm = 2.0;
    strcpy(record[1]->placing[0].channel[0].mark, "chin");
    across = put_together(2);
    ck_assert_int_eq(across->channel[0].apart[1], APART_OTHER_MARK);
    across_destroy(across);
    analysis[0]->tie[0][0].kind = TIE_NONE;
    across = put_together(2);
    ck_assert_int_eq(across->channel[0].apart[0], APART_NOT_TIED);
    ck_assert_int_eq(across->channel[0].reference, 1);
    across_destroy(across);
}
END_TEST

/* The first session's own baseline, by its number; else the first setup. */
START_TEST(the_baseline_is_the_first_sessions)
{
    fill(2, 2, 4);
    struct across *across = put_together(2);
    ck_assert_int_eq(across->baseline, 0);
    across_destroy(across);
    record[0]->settings.baseline_setup = 1;
    across = put_together(2);
    ck_assert_int_eq(across->baseline, 0);
    across_destroy(across);
    record[0]->settings.baseline_setup = 2;
    across = put_together(2);
    ck_assert_int_eq(across->baseline, 1);
    across_destroy(across);
    across = across_make(sessions, 2, 3, &problem);
    ck_assert_int_eq(across->baseline, 3);
    across_destroy(across);
}
END_TEST

/* A sensor whose height follows from the bike's measures, as at the first build of its placing. */
static struct across_place by_measures(int s)
{
    record[s]->setup[0].bike = usual_bike();
    record[s]->placing[0].channel[0].mount =
        (struct sensor_mount){.carrier = CARRIER_BASE_BAR, .x_mm = 120, .y_mm = 40, .direction = 1};
    analysis[s]->tie[0][0] = (struct tie){.kind = TIE_FIRST,
                                          .absolute = true,
                                          .u_absolute_mm = 5.0,
                                          .u_own_mm = 2.0,
                                          .sensor_height_mm = 500.0};
    return (struct across_place){record[s], analysis[s], 0, 0};
}

/* Of one frame's measures only where each sensor sits on its carrier counts; of two frames, two
 * carriers, or a height that was read, all of it does: 5 mm and 5 mm. */
START_TEST(heights_that_follow_from_one_bike)
{
    fill(1, 2, 2);
    struct across_place one = by_measures(0), other = by_measures(1);
    ck_assert(across_same_measures(&one, &other));
    ck_assert_double_eq_tol(across_u_mm(&one, &other), hypot(2.0, 2.0), 1e-9);
    ck_assert_double_eq_tol(across_common_u_mm(&other, &one), 2.0, 1e-9);
    ck_assert_double_eq_tol(across_common_u_mm(&other, NULL), 5.0, 1e-9);
    for (int how = 0; how < 6; how++) {
        one = by_measures(0);
        other = by_measures(1);
        struct bike_values *bike = &record[1]->setup[0].bike;
        struct tie *tie = &analysis[how == 5 ? 0 : 1]->tie[0][0];
        bike->value[BIKE_STACK] += how == 0 ? 10.0 : 0.0;
        bike->value[BIKE_SEAT_ANGLE] = how == 1 ? 74.0 : NAN; /* known of the one alone */
        record[0]->setup[0].bike.value[BIKE_SEAT_ANGLE] = NAN;
        record[1]->placing[0].channel[0].mount.carrier =
            how == 2 ? CARRIER_PAD_BRACKET : CARRIER_BASE_BAR;
        tie->u_own_mm = how == 3 || how == 5 ? 5.0 : 2.0;
        tie->kind = how == 4 ? TIE_NONE : TIE_FIRST;
        ck_assert_msg(!across_same_measures(&one, &other), "%d", how);
        double common_mm = across_common_u_mm(&other, &one);
        ck_assert_msg(how == 4 ? isnan(common_mm) : common_mm == 5.0, "%d: %g", how, common_mm);
        double u_mm = across_u_mm(&one, &other);
        ck_assert_int_eq(isnan(across_u_mm(&other, &one)), how == 4);
        ck_assert_msg(how == 4 ? isnan(u_mm) : fabs(u_mm - hypot(5.0, 5.0)) < 1e-9, "%d: %g", how,
                      u_mm);
    }
    one = by_measures(0);
    other = by_measures(1);
    other.build = 1; /* the second build of the session: the first of its own placing */
    record[1]->build[1].placing = 1;
    record[1]->build[1].setup = 0;
    record[1]->placing_count = 2;
    record[1]->placing[1] = record[1]->placing[0];
    analysis[1]->tie[1][0] = analysis[1]->tie[0][0];
    ck_assert(across_same_measures(&one, &other));
}
END_TEST

/* Heights that one session tells from a board on the pads are none of another's over the bottom
 * bracket; of two sessions with that board they are as good as any. */
START_TEST(heights_from_the_board_are_no_heights_over_the_bottom_bracket)
{
    fill(1, 2, 2);
    struct across_place place[2] = {by_measures(0), by_measures(1)};
    for (int s = 0; s < 2; s++) {
        struct tie_reading_record *reading = &record[s]->tie_reading[0];
        *reading = (struct tie_reading_record){
            .kind = TIE_READING_PLATE, .rest = REST_PADS, .value_mm = 240.0};
        record[s]->tie_reading_count = 1;
        ck_assert(across_from_board(&place[s]));
        ck_assert_int_eq(isnan(across_u_mm(&place[0], &place[1])), s == 0);
        ck_assert_int_eq(isnan(across_u_mm(&place[1], &place[0])), s == 0);
        reading->rest = REST_PLATE;
        ck_assert(!across_from_board(&place[s]));
        reading->rest = REST_PADS;
        reading->plate_height_mm = 930.0; /* that was said */
        ck_assert(!across_from_board(&place[s]));
        reading->plate_height_mm = NAN;
        ck_assert(!across_from_board(&place[s]));
        reading->plate_height_mm = 0.0;
        reading->channel = 1;
        ck_assert(!across_from_board(&place[s]));
        reading->channel = 0;
    }
}
END_TEST

/* A build on which the channel is not tied has no height to merge; of parts of the body there is
 * room for as many as a session can have. */
START_TEST(what_is_not_tied_is_merged_as_such)
{
    fill(1, 2, 4);
    analysis[1]->tie[1][0].kind = TIE_NONE;
    struct across *across = put_together(2);
    ck_assert_int_eq(across->channel[0].heights.setup[1].holds, 2);
    ck_assert_int_eq(across->channel[1].heights.setup[1].holds, 4);
    across_destroy(across);
    fill(1, 1, 2);
    for (int s = 0; s < 2; s++) {
        record[s]->placing[0].channel_count = analysis[s]->channel_count = CHANNELS_MAX;
        for (int c = 0; c < CHANNELS_MAX; c++) {
            snprintf(analysis[s]->channel_name[c], CHANNEL_NAME_SIZE, "part%d-%d", s, c);
            snprintf(record[s]->placing[0].channel[c].name, CHANNEL_NAME_SIZE, "part%d-%d", s, c);
            analysis[s]->body[c] = true;
            record[s]->settings.matters_mm[c] = 10.0;
        }
    }
    across = put_together(2);
    ck_assert_int_eq(across->channel_count, CHANNELS_MAX);
    ck_assert_str_eq(across->channel[CHANNELS_MAX - 1].name, "part0-7");
    across_destroy(across);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("across_limits");
    TCase *tests = tcase_create("across_limits");
    suite_add_tcase(suite, tests);
    tcase_set_timeout(tests, 60);
    tcase_add_checked_fixture(tests, set_up, tear_down);
    tcase_add_test(tests, sessions_are_of_one_rider);
    tcase_add_test(tests, there_are_only_so_many_of_each);
    tcase_add_test(tests, free_holds_that_count);
    tcase_add_test(tests, each_channel_by_its_own_holds);
    tcase_add_test(tests, heights_that_stand_apart);
    tcase_add_test(tests, as_many_of_each_as_can_be_compared);
    tcase_add_test(tests, a_visit_without_a_sensor_or_a_setup);
    tcase_add_test(tests, the_baseline_is_the_first_sessions);
    tcase_add_test(tests, heights_that_follow_from_one_bike);
    tcase_add_test(tests, heights_from_the_board_are_no_heights_over_the_bottom_bracket);
    tcase_add_test(tests, what_is_not_tied_is_merged_as_such);
    return test_main(suite);
}
