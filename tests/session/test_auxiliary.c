/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Power and cadence beside the heights: averaged over holds, compared, never cued on. */
#include "session/session.h"
#include "support/test_main.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static struct session *session;
static int64_t number;

static void command(const char *line)
{
    struct problem problem = {0};
    ck_assert_msg(session_command(session, line, &problem), "'%s': %s", line, problem.sentence);
}

/* Head 900 mm over its sensor's 640; power and cadence alternate about their means. */
static void samples(int count, double power_w, double cadence_per_min)
{
    for (int i = 0; i < count; i++) {
        struct sample sample = {.number = number + 1, .time_us = number * 20000};
        number++;
        sample.range_tenth_mm[0] = 2600 + (int32_t)(number * 7 % 31) - 15;
        sample.range_tenth_mm[1] = (int32_t)lround(10 * power_w) + (i % 2 ? 300 : -300);
        sample.range_tenth_mm[2] = (int32_t)lround(10 * cadence_per_min);
        sample.quality[2] = i % 10 == 0 ? READING_MISSING : READING_GOOD;
        session_sample(session, &sample);
    }
}

static void hold(double power_w, double cadence_per_min)
{
    command("hold 20s free settle=0s");
    samples(1050, power_w, cadence_per_min);
}

static void start(void)
{
    const struct session_origin origin = {.wall_ms = 1767981600000, .seed = 3};
    number = 0;
    session = session_create(&origin, NULL, NULL);
    command("rig bench rate=50 channels=head,power,cadence");
    command("bike \"training bike\" stack=540 reach=400 head_angle=73 spacers=20 stem_length=100 "
            "stem_angle=-17 pad_rise=55");
    command("sensor head carrier=base_bar x=120 y=40");
    samples(60, 200, 88);
}

START_TEST(means_and_marks)
{
    start();
    const struct placing_record *placing = &session_records(session)->placing[0];
    ck_assert_int_eq(placing->channel[0].role, ROLE_BODY);
    ck_assert_int_eq(placing->channel[1].role, ROLE_AUXILIARY);
    ck_assert_int_eq(placing->channel[2].role, ROLE_AUXILIARY);
    hold(200, 88);
    hold(204, 88);
    hold(213.6, 92.8); /* 9.6 W over the middle, 4.8 rpm */
    hold(214.4, 88);   /* 10.4 W over the middle of 200 204 213.6 214.4 and 200 */
    hold(200, 82.8);   /* 5.2 rpm under the middle */
    const struct analysis *analysis = session_analysis(session);
    static const double power[] = {200, 204, 213.6, 214.4, 200},
                        cadence[] = {88, 88, 92.8, 88, 82.8};
    for (int h = 0; h < 5; h++) {
        const struct hold_result *result = &analysis->hold[h];
        /* the hold's 1001 samples end on the sample with which it began */
        ck_assert_double_eq_tol(result->auxiliary_mean[AUXILIARY_POWER], power[h], 0.05);
        ck_assert_double_eq_tol(result->auxiliary_mean[AUXILIARY_CADENCE], cadence[h], 1e-9);
        ck_assert(isnan(result->auxiliary_mean[AUXILIARY_HEART]));
        ck_assert_int_eq(result->auxiliary_apart[AUXILIARY_POWER], h == 3);
        ck_assert_int_eq(result->auxiliary_apart[AUXILIARY_CADENCE], h == 4);
        ck_assert(result->has[0] && !result->has[1] && !result->has[2]);
    }
    ck_assert(!analysis->body[1] && !analysis->body[2]);
    session_destroy(session);
}
END_TEST

START_TEST(a_hold_left_out_moves_the_middle)
{
    start();
    hold(200, 88);
    hold(200, 88);
    hold(230, 88);
    const struct analysis *analysis = session_analysis(session);
    ck_assert(analysis->hold[2].auxiliary_apart[AUXILIARY_POWER]);
    command("reject 1 \"slid\"");
    command("reject 2 \"slid\"");
    ck_assert(!analysis->hold[2].auxiliary_apart[AUXILIARY_POWER]);
    ck_assert(!analysis->hold[0].auxiliary_apart[AUXILIARY_POWER]); /* not compared at all */
    session_destroy(session);
}
END_TEST

START_TEST(shown_and_never_cued_on)
{
    struct view *view = calloc(1, sizeof *view);
    start();
    command("target until=3mm at_most=60s settle=0s");
    samples(3100, 200, 88);
    ck_assert_int_eq(session_phase(session), VIEW_LIVE);
    command("band head=+10/-20");
    samples(400, 700, 120); /* a sprint: nothing jumps out of it */
    session_fill_view(session, view);
    ck_assert_double_eq_tol(view->channel[1].shown_mm, 700, 2);
    ck_assert_double_eq_tol(view->channel[2].shown_mm, 120, 1e-6);
    ck_assert(!view->channel[1].has_target && !view->channel[1].has_band);
    ck_assert_int_eq(view->asked_channel, 0);
    struct problem problem = {0};
    ck_assert(!session_command(session, "target power=200", &problem));
    ck_assert_msg(strstr(problem.sentence, "no height") != NULL, "%s", problem.sentence);
    ck_assert(!session_command(session, "band power=+10/-10", &problem));
    ck_assert(!session_command(session, "cue cadence on_delay=2s", &problem));
    session_destroy(session);
    free(view);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("auxiliary of sessions");
    TCase *tests = tcase_create("auxiliary");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, means_and_marks);
    tcase_add_test(tests, a_hold_left_out_moves_the_middle);
    tcase_add_test(tests, shown_and_never_cued_on);
    return test_main(suite);
}
