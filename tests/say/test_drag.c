/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Drag of setups against each other, in words: numbers by hand, each verdict once. */
#include "base/numbers.h"
#include "say/drag.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static struct session_record *record;
static struct drag_analysis *drag;

/* Setups 1 and 2 of five runs each, at 10 and 12 m/s, setup 2 compared with setup 1. */
static void begin(void)
{
    record = malloc(sizeof *record);
    drag = calloc(1, sizeof *drag);
    ck_assert(record != NULL && drag != NULL);
    session_record_clear(record);
    record->setup_count = 2;
    record->run_count = 2;
    for (int s = 0; s < 2; s++) {
        record->setup[s].number = s + 1;
        run_record_clear(&record->run[s]);
        drag->setup[s].runs = 5;
        drag->setup[s].density_kg_per_m3 = 1.2;
        drag->setup[s].level_half_width_m2 = 0.012;
        drag->run[s].state = DRAG_RUN_COUNTS;
        drag->run[s].speed_m_per_s = 10.0 + 2.0 * s;
    }
    drag->rider.efficiency = 0.96;
    drag->compare.setup_count = 2;
    drag->compare.setup[1].mean = 0.25;
    drag->compare.difference[1] = (struct setup_difference){.verdict = VERDICT_LOWER,
                                                            .difference = -0.0055,
                                                            .has_interval = true,
                                                            .low = -0.0078,
                                                            .high = -0.0032};
}

static void end(void)
{
    free(record);
    free(drag);
}

static void says(const char *words)
{
    char text[SAY_SIZE];
    say_drag_difference(text, sizeof text, drag, 0, 1);
    ck_assert_str_eq(text, words);
}

START_TEST(a_lower_one_has_no_signs)
{
    says("lower by 0.0055 (0.0032 to 0.0078) m\u00B2");
    struct setup_difference *d = &drag->compare.difference[1];
    d->verdict = VERDICT_HIGHER;
    d->difference = 0.0055;
    d->low = 0.0032;
    d->high = 0.0078;
    says("higher by 0.0055 (0.0032 to 0.0078) m\u00B2");
    d->has_interval = false;
    says("higher by 0.0055 m\u00B2");
}
END_TEST

START_TEST(what_is_not_told_apart_keeps_its_signs)
{
    struct setup_difference *d = &drag->compare.difference[1];
    d->low = -0.0120;
    d->high = 0.0010;
    d->verdict = VERDICT_LESS_THAN_MATTERS;
    says("differs, but by less than matters: -0.0055 (-0.0120 to 0.0010) m\u00B2");
    d->verdict = VERDICT_NO_DIFFERENCE;
    says("no difference that matters: -0.0055 (-0.0120 to 0.0010) m\u00B2");
    d->verdict = VERDICT_CANNOT_TELL;
    says("cannot tell yet: -0.0055 (-0.0120 to 0.0010) m\u00B2");
}
END_TEST

START_TEST(what_would_settle_it_follows)
{
    struct setup_difference *d = &drag->compare.difference[1];
    const char *value = "cannot tell yet: -0.0055 (-0.0078 to -0.0032) m\u00B2; ";
    static const struct {
        enum compare_advice advice;
        int holds;
        const char *words;
    } rows[] = {
        {ADVICE_MORE_HOLDS, 1, "1 more run of each"},
        {ADVICE_MORE_HOLDS, 11, "11 more runs of each"},
        {ADVICE_MORE_HOLDS, 12, "12 or more runs of each"},
        {ADVICE_RETURN_TO_FIRST, 0, "ride setup 1 again: setup and order go together"},
        {ADVICE_TIE, 0, "ride both at the same speed"},
    };
    d->verdict = VERDICT_CANNOT_TELL;
    d->first_setup = 1;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char words[SAY_SIZE];
        d->advice = rows[i].advice;
        d->advice_holds = rows[i].holds;
        snprintf(words, sizeof words, "%s%s", value, rows[i].words);
        says(words);
    }
    /* Two lengths by the wheel cost more than two speeds. */
    drag->setup[1].other_wheel = true;
    drag->setup[1].wheel_m2 = 0.002;
    drag->setup[1].unlike_m2 = 0.003;
    says("cannot tell yet: -0.0055 (-0.0078 to -0.0032) m\u00B2; ride both at the "
         "same speed");
    drag->setup[1].unlike_m2 = 0.001;
    says("cannot tell yet: -0.0055 (-0.0078 to -0.0032) m\u00B2; put the wheels' "
         "sizes right: by them the course has two lengths");
}
END_TEST

START_TEST(what_can_t_be_compared_says_why)
{
    struct setup_difference *d = &drag->compare.difference[1];
    drag->setup[1].few = true;
    drag->setup[1].runs = 3;
    says("too few to tell anything: 3 runs, 4 are needed");
    drag->setup[1].runs = 0;
    says("");
    drag->setup[1].few = false;
    drag->setup[1].runs = 4;
    drag->setup[0].runs = 3;
    says("not comparable: the setup that is compared against has too few runs");
    drag->setup[0].runs = 4;
    says("lower by 0.0055 (0.0032 to 0.0078) m\u00B2");
    d->verdict = VERDICT_NOT_COMPARABLE;
    d->reason = REASON_ORDER_MATTERED;
    says("not comparable: drag changed with the order of the runs, and setup and order go "
         "together: ride the first setup again");
    d->verdict = VERDICT_NONE;
    says("");
}
END_TEST

START_TEST(a_level_is_told_with_what_it_rests_on)
{
    char text[SAY_SIZE];
    say_drag_level(text, sizeof text, drag, 1);
    ck_assert_str_eq(text, "about 0.250 (0.238 to 0.262) m\u00B2");
    drag->setup[1].level_half_width_m2 = INFINITY;
    say_drag_level(text, sizeof text, drag, 1);
    ck_assert_str_eq(text, "too few to tell anything: 5 runs, 4 are needed");
    drag->setup[1].level_half_width_m2 = 0.012;
    drag->setup[1].few = true;
    say_drag_level(text, sizeof text, drag, 1);
    ck_assert_str_eq(text, "too few to tell anything: 5 runs, 4 are needed");
    drag->setup[1].runs = 0;
    say_drag_level(text, sizeof text, drag, 1);
    ck_assert_str_eq(text, "");
}
END_TEST

/* At 11 m/s, the mean of both runs: half of 1.2 x 1331 / 0.96 is 831.875 W a square metre. */
START_TEST(a_difference_is_worth_watts)
{
    char text[SAY_SIZE];
    struct setup_difference *d = &drag->compare.difference[1];
    say_drag_worth(text, sizeof text, record, drag, 1);
    ck_assert_str_eq(text, "4.6 W (2.7 to 6.5) less for the air at 40 km/h");
    d->verdict = VERDICT_HIGHER;
    d->difference = 0.0055;
    d->low = 0.0032;
    d->high = 0.0078;
    say_drag_worth(text, sizeof text, record, drag, 1);
    ck_assert_str_eq(text, "4.6 W (2.7 to 6.5) more for the air at 40 km/h");
    d->has_interval = false;
    say_drag_worth(text, sizeof text, record, drag, 1);
    ck_assert_str_eq(text, "");
    d->has_interval = true;
    d->verdict = VERDICT_CANNOT_TELL;
    say_drag_worth(text, sizeof text, record, drag, 1);
    ck_assert_str_eq(text, "");
}
END_TEST

START_TEST(a_setup_has_a_line_of_its_own)
{
    char text[SAY_SIZE];
    say_drag_line(text, sizeof text, record, drag, 1);
    ck_assert_str_eq(text, "Drag on the course: setup 2 is lower by 0.0055 (0.0032 to 0.0078) "
                           "m\u00B2 than setup 1: 4.6 W (2.7 to 6.5) less for the air at 40 km/h.");
    drag->run[0].state = drag->run[1].state = DRAG_RUN_REJECTED; /* at which speed? */
    say_drag_line(text, sizeof text, record, drag, 1);
    ck_assert_str_eq(text, "Drag on the course: setup 2 is lower by 0.0055 (0.0032 to 0.0078) "
                           "m\u00B2 than setup 1.");
    drag->setup[0].runs = 3;
    say_drag_line(text, sizeof text, record, drag, 1);
    ck_assert_str_eq(text, "Drag on the course, setup 2: not comparable: the setup that is "
                           "compared against has too few runs; compared with setup 1.");
    say_drag_line(text, sizeof text, record, drag, 0);
    ck_assert_str_eq(text, "");
    drag->lack = DRAG_LACKS_MASS;
    say_drag_line(text, sizeof text, record, drag, 1);
    ck_assert_str_eq(text, "");
}
END_TEST

/* A higher one the same way; and what is told needs its density, if not the difference itself. */
START_TEST(a_higher_one_has_a_line_too)
{
    char text[SAY_SIZE];
    struct setup_difference *d = &drag->compare.difference[1];
    *d = (struct setup_difference){.verdict = VERDICT_HIGHER,
                                   .difference = 0.0055,
                                   .has_interval = true,
                                   .low = 0.0032,
                                   .high = 0.0078};
    say_drag_line(text, sizeof text, record, drag, 1);
    ck_assert_str_eq(text, "Drag on the course: setup 2 is higher by 0.0055 (0.0032 to 0.0078) "
                           "m\u00B2 than setup 1: 4.6 W (2.7 to 6.5) more for the air at 40 km/h.");
    drag->setup[1].density_kg_per_m3 = NAN;
    say_drag_line(text, sizeof text, record, drag, 1);
    ck_assert_str_eq(text, "Drag on the course: setup 2 is higher by 0.0055 (0.0032 to 0.0078) "
                           "m\u00B2 than setup 1.");
    drag->setup[1].few = true;
    say_drag_line(text, sizeof text, record, drag, 1);
    ck_assert_str_eq(text, "Drag on the course, setup 2: too few to tell anything: 5 runs, 4 are "
                           "needed; compared with setup 1.");
    d->verdict = VERDICT_CANNOT_TELL;
    drag->setup[1].few = false;
    say_drag_line(text, sizeof text, record, drag, 1);
    ck_assert_str_eq(text, "Drag on the course, setup 2: cannot tell yet: 0.0055 (0.0032 to "
                           "0.0078) m\u00B2; compared with setup 1.");
    drag->setup[1].runs = 0;
    say_drag_line(text, sizeof text, record, drag, 1);
    ck_assert_str_eq(text, "");
}
END_TEST

/* What withholds all verdicts stands before what a pair lacks. */
START_TEST(wind_withholds_the_verdicts_of_laps)
{
    drag->compare.difference[1].verdict = VERDICT_NOT_COMPARABLE;
    drag->withheld = DRAG_WITHHELD_WIND;
    says("not comparable: too much wind for laps, where it can't be solved for: ride out and back, "
         "or indoors");
    drag->withheld = DRAG_WITHHELD_WIND_NOT_SAID;
    says("not comparable: laps in the open, and nobody said how much wind there was: add "
         "wind=0.5m/s to the air, or ride out and back");
}
END_TEST

/* A setup is not told against itself. */
START_TEST(the_baseline_is_not_compared)
{
    char text[SAY_SIZE];
    drag->compare.difference[0].verdict = VERDICT_LOWER;
    say_drag_difference(text, sizeof text, drag, 0, 0);
    ck_assert_str_eq(text, "");
}
END_TEST

START_TEST(what_a_day_lacks_is_said_with_its_command)
{
    ck_assert_str_eq(say_drag_lack(DRAG_LACKS_NOTHING), "");
    ck_assert_ptr_nonnull(strstr(say_drag_lack(DRAG_LACKS_COURSE), "'course laps'"));
    ck_assert_ptr_nonnull(strstr(say_drag_lack(DRAG_LACKS_MASS), "'mass 85kg'"));
    ck_assert_ptr_nonnull(strstr(say_drag_lack(DRAG_LACKS_AIR), "'air 20C 1013hPa 50%'"));
}
END_TEST

/* Where the fitter left it out, in his words; else what was found. */
START_TEST(why_a_run_or_a_leg_is_out)
{
    record->leg_count = 1;
    leg_record_clear(&record->leg[0]);
    drag->run[0].state = DRAG_RUN_SATELLITES;
    drag->leg[0].state = DRAG_LEG_WINDY;
    ck_assert_str_eq(say_drag_run_why(record, drag, 0),
                     "speed from satellites: not good enough for a verdict");
    ck_assert_str_eq(say_drag_leg_why(record, drag, 0), "too windy");
    record->run[0].rejected = record->leg[0].left_out = true;
    strcpy(record->run[0].reject_reason, "brushed the barrier");
    strcpy(record->leg[0].reason, "a lorry");
    ck_assert_str_eq(say_drag_run_why(record, drag, 0), "brushed the barrier");
    ck_assert_str_eq(say_drag_leg_why(record, drag, 0), "a lorry");
}
END_TEST

static void why_none(const char *beginning)
{
    const char *why = say_drag_why_none(record, drag);
    ck_assert_msg(strncmp(why, beginning, strlen(beginning)) == 0, "%s", why);
}

START_TEST(why_no_setup_has_a_line)
{
    drag->setup[record->setup_count].runs = 3; /* of a setup that was taken back */
    drag->run[record->run_count].state = DRAG_RUN_REJECTED;
    why_none("Nothing is said of this setup: no run of it counts.");
    drag->setup[0].runs = 0; /* of setup 2 alone there are runs */
    why_none("There are runs of one setup only: nothing to compare.");
    drag->setup[0].left_out = 2;
    why_none("Nothing is compared: only runs of one setup count.");
    drag->setup[1].runs = 0;
    why_none("Nothing is compared: no run counts.");
    drag->run[1].state = DRAG_RUN_SATELLITES;
    why_none("Nothing is compared: no run counts.");
    record->run_count = 3; /* the third like the second, not like the first */
    run_record_clear(&record->run[2]);
    drag->run[2].state = DRAG_RUN_SATELLITES;
    why_none("Nothing is compared: no run counts.");
    drag->run[0].state = DRAG_RUN_SATELLITES;
    why_none("Nothing is compared: the speed of all runs is from satellites");
    drag->setup[1].runs = 1;
    why_none("Nothing is compared: only runs of one setup count.");
    drag->lack = DRAG_LACKS_AIR;
    why_none("There are runs, and no numbers yet");
}
END_TEST

/* Of 0.25 m2, the mean of what is compared. */
START_TEST(runs_repeat_to_a_share)
{
    char text[SAY_SIZE];
    say_drag_repeats(text, sizeof text, drag);
    ck_assert_str_eq(text, "");
    drag->setup[0].drag_m2 = 0.24;
    drag->setup[1].drag_m2 = 0.26;
    drag->compare.has_repeatability = true;
    drag->compare.repeatability = 0.0025;
    drag->compare.repeatability_low = 0.0018;
    drag->compare.repeatability_high = 0.0041;
    drag->compare.setup[0].holds = drag->compare.setup[1].holds = 5;
    drag->compare.setup[0].mean = 0.24;
    drag->compare.setup[1].mean = 0.26;
    say_drag_repeats(text, sizeof text, drag);
    ck_assert_str_eq(text, "SD 0.0025 (0.0018 to 0.0041) m\u00B2, 1.0 %, from run to run");
}
END_TEST

START_TEST(a_slope_is_told_of_ten_millimetres)
{
    struct drag_height height = {.slope_setups = 5, .has_slope = true};
    char text[SAY_SIZE];
    height.line.slope = 0.00042;
    height.line.slope_half_width = 0.00011;
    say_drag_slope(text, sizeof text, &height, "head");
    ck_assert_str_eq(text, "For this rider, on these 5 setups, 10 mm of head went with 0.0042 "
                           "m\u00B2 of drag (0.0031 to 0.0053): association only.");
    height.has_slope = false;
    say_drag_slope(text, sizeof text, &height, "head");
    ck_assert_str_eq(text, "");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("drag");
    TCase *tests = tcase_create("drag");
    tcase_add_checked_fixture(tests, begin, end);
    tcase_add_test(tests, a_lower_one_has_no_signs);
    tcase_add_test(tests, what_is_not_told_apart_keeps_its_signs);
    tcase_add_test(tests, what_would_settle_it_follows);
    tcase_add_test(tests, what_can_t_be_compared_says_why);
    tcase_add_test(tests, a_level_is_told_with_what_it_rests_on);
    tcase_add_test(tests, a_difference_is_worth_watts);
    tcase_add_test(tests, a_setup_has_a_line_of_its_own);
    tcase_add_test(tests, a_higher_one_has_a_line_too);
    tcase_add_test(tests, wind_withholds_the_verdicts_of_laps);
    tcase_add_test(tests, the_baseline_is_not_compared);
    tcase_add_test(tests, what_a_day_lacks_is_said_with_its_command);
    tcase_add_test(tests, why_a_run_or_a_leg_is_out);
    tcase_add_test(tests, why_no_setup_has_a_line);
    tcase_add_test(tests, runs_repeat_to_a_share);
    tcase_add_test(tests, a_slope_is_told_of_ten_millimetres);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
