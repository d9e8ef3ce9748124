/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What came of a visit's advice, and how a setup differs from day to day. */
#include "say/visits.h"

#include "base/numbers.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

static struct across *across;
static struct session_record *record;
static struct analysis *analysis;

/* Two visits of one setup and one channel, head: 880 ±4 with the sensor's height known to 3 mm,
 * then 886 ±3 with 4 mm. */
static void begin(void)
{
    across = calloc(1, sizeof *across);
    record = calloc(2, sizeof *record);
    analysis = calloc(2, sizeof *analysis);
    ck_assert(across != NULL && record != NULL && analysis != NULL);
    across->session_count = 2;
    across->setup_count = across->channel_count = 1;
    snprintf(across->channel[0].name, CHANNEL_NAME_SIZE, "head");
    static const double mean[] = {880, 886}, half[] = {4, 3}, u[] = {3, 4};
    for (int s = 0; s < 2; s++) {
        session_record_clear(&record[s]);
        record[s].setup_count = 1;
        record[s].setup[0].number = 3 - s; /* its number is another on each visit */
        record[s].settings.chosen_setup = 3 - s;
        analysis[s].channel_count = 1;
        analysis[s].body[0] = true;
        snprintf(analysis[s].channel_name[0], CHANNEL_NAME_SIZE, "head");
        struct comparison *comparison = &analysis[s].free_heights[0];
        comparison->setup_count = 1;
        comparison->setup[0] = (struct setup_estimate){
            .holds = 2, .tied = true, .has_interval = true, .mean = mean[s], .half_width = half[s]};
        across->session[s] = (struct across_session){s + 1, &record[s], &analysis[s]};
        across->channel[0].u_session_mm[s] = u[s];
        across->setup[0].number_in[s] = 3 - s;
    }
}

static void end(void)
{
    free(across);
    free(record);
    free(analysis);
}

START_TEST(a_height_has_its_sensors_uncertainty_in_it)
{
    struct visit_height height = visit_height(across, 0, 0, 0);
    ck_assert(height.measured && height.tied);
    ck_assert_double_eq_tol(height.mean_mm, 880, 1e-9);
    /* 1.959964 * 3 = 5.8799; with 4: 7.1114 */
    ck_assert_double_eq_tol(height.half_width_mm, 7.1114, 1e-3);
    across->channel[0].u_session_mm[0] = (double)NAN;
    height = visit_height(across, 0, 0, 0);
    ck_assert(height.measured && !height.tied);
    ck_assert(isnan(height.mean_mm));
}
END_TEST

/* A setup or a sensor that was not there on a day has nothing of it. */
START_TEST(what_was_not_there_has_no_height)
{
    analysis[1].free_heights[0].setup[0].tied = false;
    ck_assert(!visit_height(across, 1, 0, 0).tied);
    analysis[1].free_heights[0].setup[0].tied = true;
    across->channel[0].u_session_mm[1] = (double)INFINITY;
    ck_assert(!visit_height(across, 1, 0, 0).tied);
    analysis[1].free_heights[0].setup[0].holds = 0;
    ck_assert(!visit_height(across, 1, 0, 0).measured);
    across->setup[0].number_in[1] = 0;
    ck_assert(!visit_height(across, 1, 0, 0).measured);
    ck_assert(isnan(visit_rating(across, 1, 0, RATING_NECK)));
    analysis[0].body[0] = false;
    ck_assert(!visit_height(across, 0, 0, 0).measured);
    analysis[0].body[0] = true;
    snprintf(analysis[0].channel_name[0], CHANNEL_NAME_SIZE, "chest");
    ck_assert(!visit_height(across, 0, 0, 0).measured);
}
END_TEST

START_TEST(the_same_setup_on_two_days)
{
    char text[SAY_SIZE];
    struct visit_change change = visit_change(across, 0, 0, 0, 1);
    ck_assert(change.known);
    ck_assert_double_eq_tol(change.change_mm, 6, 1e-9);
    /* second day: sqrt(3^2 + 7.8399^2) = 8.3943; both: sqrt(50.572 + 70.464) = 11.0016 */
    ck_assert_double_eq_tol(change.half_width_mm, 11.0016, 1e-3);
    say_visit_change(text, sizeof text, across, 0, 0, 0, 1);
    ck_assert_str_eq(text, "head likely 6 mm higher, but that may be chance (-5 to +17)");
    analysis[1].free_heights[0].setup[0].mean = 892;
    say_visit_change(text, sizeof text, across, 0, 0, 0, 1);
    ck_assert_str_eq(text, "head 12 mm higher (+1 to +23)");
    analysis[1].free_heights[0].setup[0].mean = 868;
    say_visit_change(text, sizeof text, across, 0, 0, 0, 1);
    ck_assert_str_eq(text, "head 12 mm lower (-23 to -1)");
    analysis[1].free_heights[0].setup[0].mean = 874;
    say_visit_change(text, sizeof text, across, 0, 0, 0, 1);
    ck_assert_str_eq(text, "head likely 6 mm lower, but that may be chance (-17 to +5)");
    analysis[1].free_heights[0].setup[0].mean = 880.2;
    say_visit_change(text, sizeof text, across, 0, 0, 0, 1);
    ck_assert_str_eq(text, "head unchanged (-11 to +11)");
    analysis[1].free_heights[0].setup[0].has_interval = false;
    say_visit_change(text, sizeof text, across, 0, 0, 0, 1);
    ck_assert_str_eq(text, "");
}
END_TEST

/* Why a session's heights can't stand beside another's: each reason once. */
START_TEST(what_stands_apart_says_why)
{
    char text[SAY_SIZE];
    struct across_channel *channel = &across->channel[0];
    channel->mark[0] = "chin strap";
    channel->mark[1] = "top of the helmet";
    channel->apart[0] = APART_NOT;
    say_apart(text, sizeof text, channel, 0);
    ck_assert_str_eq(text, "");
    channel->apart[1] = APART_NOT_MEASURED;
    say_apart(text, sizeof text, channel, 1);
    ck_assert_str_eq(text, "it was not measured there");
    channel->apart[1] = APART_NOT_TIED;
    say_apart(text, sizeof text, channel, 1);
    ck_assert_str_eq(text, "not tied: nothing says how high its sensor was over the bottom bracket "
                           "('tape head=...', or a plate with its height=)");
    channel->apart[1] = APART_OTHER_MARK;
    say_apart(text, sizeof text, channel, 1);
    ck_assert_str_eq(text, "another mark on the body: 'top of the helmet', not 'chin strap'");
}
END_TEST

START_TEST(what_was_chosen_and_when_it_was_ridden_next)
{
    ck_assert_int_eq(visit_chosen(across, 0), 0);
    ck_assert_int_eq(visit_next(across, 0, 0), 1);
    ck_assert_int_eq(visit_next(across, 1, 0), -1);
    record[0].settings.chosen_setup = 0;
    ck_assert_int_eq(visit_chosen(across, 0), -1);
    record[0].settings.chosen_setup = 2; /* which was not held there */
    ck_assert_int_eq(visit_chosen(across, 0), -1);
}
END_TEST

START_TEST(advice_is_told_whole)
{
    char text[2 * SAY_SIZE];
    static const char *const expected[ADVICES_CAME] = {
        [ADVICE_CAME_NOT_CHOSEN] = "1 May 2026: no setup was chosen.",
        [ADVICE_CAME_LATEST] = "1 May 2026: setup B was chosen. There was no visit since.",
        [ADVICE_CAME_NOT_RIDDEN] =
            "1 May 2026: setup B was chosen. It was not ridden on any visit since.",
        [ADVICE_CAME_RIDDEN] =
            "1 May 2026: setup B was chosen. It was ridden again on 2 June 2026: neck 3, then 2.",
    };
    for (int came = 0; came < ADVICES_CAME; came++) {
        say_advice_came(text, sizeof text, (enum advice_came)came, "1 May 2026", "B", "2 June 2026",
                        "neck 3, then 2");
        ck_assert_str_eq(text, expected[came]);
    }
    say_setup_letter(text, sizeof text, 25);
    ck_assert_str_eq(text, "Z");
    say_setup_letter(text, sizeof text, 26);
    ck_assert_str_eq(text, "AA");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("visits");
    TCase *tests = tcase_create("visits");
    tcase_add_checked_fixture(tests, begin, end);
    tcase_add_test(tests, a_height_has_its_sensors_uncertainty_in_it);
    tcase_add_test(tests, what_was_not_there_has_no_height);
    tcase_add_test(tests, the_same_setup_on_two_days);
    tcase_add_test(tests, what_stands_apart_says_why);
    tcase_add_test(tests, what_was_chosen_and_when_it_was_ridden_next);
    tcase_add_test(tests, advice_is_told_whole);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
