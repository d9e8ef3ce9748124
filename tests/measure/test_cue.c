/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The cue machine: delays, dead-band, gaps, and how soon a raised head is told. */
#include "reference.h"
#include "simulated_hold.h"

#include "measure/cue.h"
#include "support/test_seed.h"

/* No filter, so that limits and delays can be read off exactly. */
static struct cue_settings plain(void)
{
    return (struct cue_settings){.band_above_mm = 10.0,
                                 .band_below_mm = 20.0,
                                 .filter_hz = 0.0,
                                 .dead_band = 0.2,
                                 .on_delay_s = 0.7,
                                 .off_delay_s = 0.5,
                                 .no_reading_s = 0.5};
}

/* Feeds height for so many steps of 0.1 s; returns the last state. */
static enum cue_state feed(struct cue_machine *cue, double *time_s, double height_mm, int steps)
{
    enum cue_state state = cue->state;
    for (int i = 0; i < steps; i++) {
        *time_s += 0.1;
        state = cue_step(cue, *time_s, height_mm, true);
    }
    return state;
}

START_TEST(on_and_off_delay)
{
    struct cue_settings settings = plain();
    struct cue_machine cue;
    double t = 0.0;
    cue_start(&cue, &settings, 900.0, 10.0);
    ck_assert_int_eq(cue.state, CUE_NO_READING);
    ck_assert_int_eq(feed(&cue, &t, 900.0, 1), CUE_IN);
    ck_assert_int_eq(feed(&cue, &t, 911.0, 7), CUE_IN); /* 0.6 s outside */
    ck_assert_int_eq(feed(&cue, &t, 900.0, 1), CUE_IN);
    ck_assert_int_eq(feed(&cue, &t, 911.0, 7), CUE_IN); /* the delay starts anew */
    ck_assert_int_eq(feed(&cue, &t, 911.0, 1), CUE_HIGH);
    ck_assert_int_eq(feed(&cue, &t, 900.0, 5), CUE_HIGH);
    ck_assert_int_eq(feed(&cue, &t, 900.0, 1), CUE_IN);
    ck_assert_int_eq(feed(&cue, &t, 910.0, 30), CUE_IN); /* on the limit is inside */
    ck_assert_int_eq(feed(&cue, &t, 880.0, 30), CUE_IN); /* below has its own limit */
    ck_assert_int_eq(feed(&cue, &t, 879.9, 8), CUE_LOW);
    ck_assert_int_eq(feed(&cue, &t, 911.0, 7), CUE_LOW);
    ck_assert_int_eq(feed(&cue, &t, 911.0, 1), CUE_HIGH); /* from one side to the other */
}
END_TEST

START_TEST(dead_band)
{
    struct cue_settings settings = plain();
    struct cue_machine cue;
    double t = 0.0;
    cue_start(&cue, &settings, 900.0, 10.0);
    ck_assert_int_eq(feed(&cue, &t, 915.0, 9), CUE_HIGH);
    ck_assert_int_eq(feed(&cue, &t, 909.0, 50), CUE_HIGH); /* inside, but not by 0.2 of the width */
    ck_assert_int_eq(feed(&cue, &t, 908.1, 50), CUE_HIGH);
    ck_assert_int_eq(feed(&cue, &t, 907.9, 6), CUE_IN);
    ck_assert_int_eq(feed(&cue, &t, 909.0, 50), CUE_IN); /* and no dead-band on the way out */
}
END_TEST

/* The usual cue, seen at a hundred readings a second after the filter has come to rest: told after
 * 0.7 s (the head's after 2 s), ends after 0.5 s inside 0.8 of the width, no reading after 0.5 s.
 */
START_TEST(the_usual_cue)
{
    for (int head = 0; head < 2; head++) {
        struct cue_settings settings = cue_usual(head == 1);
        struct cue_machine cue;
        double t = 0.0, on_s = head == 1 ? 2.0 : 0.7;
        ck_assert_int_eq(cue_step((cue_start(&cue, &settings, 900.0, 100.0), &cue), t, 1e6, true),
                         CUE_IN); /* no limits of its own */
        settings.band_above_mm = settings.band_below_mm = 10.0;
        settings.filter_hz = 0.0;
        cue_start(&cue, &settings, 900.0, 10.0);
        ck_assert_int_eq(cue_step(&cue, t, 900.0, true), CUE_IN);
        ck_assert_int_eq(cue_step(&cue, t += 0.01, 911.0, true), CUE_IN);
        double came_s = t;
        while (t < came_s + on_s - 0.015) {
            ck_assert_int_eq(cue_step(&cue, t += 0.01, 911.0, true), CUE_IN);
        }
        cue_step(&cue, t += 0.01, 911.0, true);
        ck_assert_int_eq(cue_step(&cue, t += 0.01, 911.0, true), CUE_HIGH);
        for (int i = 0; i < 300;
             i++) { /* 8.1: still outside; a tenth more dead-band or less, not so */
            ck_assert_int_eq(cue_step(&cue, t += 0.01, 908.1, true), CUE_HIGH);
        }
        cue_step(&cue, t += 0.01, 907.9, true);
        double back_s = t;
        while (t < back_s + 0.485) {
            ck_assert_int_eq(cue_step(&cue, t += 0.01, 907.9, true), CUE_HIGH);
        }
        cue_step(&cue, t += 0.01, 907.9, true);
        ck_assert_int_eq(cue_step(&cue, t += 0.01, 907.9, true), CUE_IN);
        ck_assert_int_eq(cue_step(&cue, t + 0.49, 0.0, false), CUE_IN);
        ck_assert_int_eq(cue_step(&cue, t + 0.51, 0.0, false), CUE_NO_READING);
    }
    /* 1 Hz: a low-pass of second order after Butterworth passes a tone of its own frequency with
     * 1/sqrt 2 of its height, here 7.07 of 10 mm. */
    struct cue_settings settings = cue_usual(false);
    struct cue_machine cue;
    double most = 0.0;
    cue_start(&cue, &settings, 0.0, 100.0);
    for (int i = 0; i < 3000; i++) {
        cue_step(&cue, 0.01 * i, 10.0 * sin(0.0628318530717958648 * i), true);
        most = i >= 1000 ? fmax(most, cue.slow_mm) : most;
    }
    ck_assert_double_eq_tol(most, 7.0711, 0.01);
}
END_TEST

/* Where the body is, at a hundred readings a second: after half a second there, and no glance of
 * less; the head's cue comes at 2 s. It never comes after a cue that is set to be quicker. */
START_TEST(where_the_body_is)
{
    struct cue_settings settings = cue_usual(true);
    settings.band_above_mm = settings.band_below_mm = 10.0;
    settings.filter_hz = 0.0;
    struct cue_machine cue;
    cue_start(&cue, &settings, 900.0, 100.0);
    ck_assert_int_eq(cue.seen, CUE_NO_READING);
    int64_t step = 0; /* of 10 ms */
    cue_step(&cue, 0.01 * (double)step++, 900.0, true);
    ck_assert_int_eq(cue.seen, CUE_IN);
    for (int i = 0; i < 300; i++) { /* out for 0.48 s, in for 0.02 s, and so on */
        cue_step(&cue, 0.01 * (double)step++, i % 50 < 48 ? 911.0 : 900.0, true);
        ck_assert_int_eq(cue.seen, CUE_IN);
    }
    for (int i = 0; i < 250; i++) {
        cue_step(&cue, 0.01 * (double)step++, 911.0, true);
        ck_assert_int_eq(cue.seen, i < 50 ? CUE_IN : CUE_HIGH);
        ck_assert_int_eq(cue.state, i < 200 ? CUE_IN : CUE_HIGH);
    }
    for (int i = 0; i < 60; i++) {
        cue_step(&cue, 0.01 * (double)step++, 900.0, true);
        ck_assert_int_eq(cue.seen, i < 50 ? CUE_HIGH : CUE_IN);
    }
    cue_step(&cue, 0.01 * (double)(step + 50), 0.0, false);
    ck_assert_int_eq(cue.seen, CUE_NO_READING);
    settings.on_delay_s = 0.2;
    cue_start(&cue, &settings, 900.0, 100.0);
    cue_step(&cue, 0.0, 900.0, true);
    for (int i = 1; i < 40; i++) {
        cue_step(&cue, 0.01 * i, 889.0, true);
        ck_assert_int_eq(cue.seen, i < 21 ? CUE_IN : CUE_LOW);
        ck_assert_int_eq(cue.state, cue.seen);
    }
}
END_TEST

START_TEST(no_limit)
{
    struct cue_settings settings = plain();
    struct cue_machine cue;
    double t = 0.0;
    settings.band_below_mm = (double)INFINITY;
    cue_start(&cue, &settings, 900.0, 10.0);
    ck_assert_int_eq(feed(&cue, &t, 100.0, 50), CUE_IN);
    ck_assert_int_eq(feed(&cue, &t, 911.0, 8), CUE_HIGH);
    settings.band_above_mm = (double)INFINITY;
    cue_retarget(&cue, &settings, 900.0);
    ck_assert_int_eq(feed(&cue, &t, 2000.0, 6), CUE_IN);
}
END_TEST

START_TEST(readings_stop_and_come_back)
{
    struct cue_settings settings = plain();
    struct cue_machine cue;
    double t = 0.0;
    cue_start(&cue, &settings, 900.0, 10.0);
    ck_assert_int_eq(cue_step(&cue, 0.05, 0.0, false), CUE_NO_READING);
    ck_assert_int_eq(feed(&cue, &t, 911.0, 9), CUE_HIGH);
    ck_assert_int_eq(cue_step(&cue, t + 0.1, NAN, true), CUE_HIGH); /* not a number: not valid */
    ck_assert_int_eq(cue_step(&cue, t + 0.4, 900.0, false), CUE_HIGH);
    ck_assert_int_eq(cue_step(&cue, t + 0.51, 900.0, false), CUE_NO_READING);
    t += 3.0;
    ck_assert_int_eq(feed(&cue, &t, 911.0, 1), CUE_HIGH); /* still where it was */
    t += 3.0;
    ck_assert_int_eq(feed(&cue, &t, 900.0, 1), CUE_IN); /* not any more */
    t += 3.0;
    ck_assert_int_eq(feed(&cue, &t, 911.0, 7),
                     CUE_IN); /* new: the delay runs from the first reading */
    ck_assert_int_eq(feed(&cue, &t, 911.0, 1), CUE_HIGH);
}
END_TEST

START_TEST(filter_in_gaps)
{
    struct cue_settings settings = plain();
    struct cue_machine with, without;
    double t = 0.0;
    settings.filter_hz = 1.0;
    cue_start(&with, &settings, 900.0, 50.0);
    for (int i = 0; i < 200; i++) {
        cue_step(&with, t += 0.02, 900.0 + (i % 7), true);
    }
    without = with;
    /* a gap under 0.5 s: the state stands still, so the same readings give the same posture */
    cue_step(&without, t + 0.02, 905.0, true);
    cue_step(&with, t + 0.2, 0.0, false);
    cue_step(&with, t + 0.48, 905.0, true);
    ck_assert_double_eq(with.slow_mm, without.slow_mm);
    ck_assert_double_lt(with.slow_mm, 904.0);
    /* over 0.5 s: anew at the first reading */
    cue_step(&with, t + 0.48 + 0.52, 905.0, true);
    ck_assert_double_eq_tol(with.slow_mm, 905.0, 1e-9);
}
END_TEST

START_TEST(retarget_keeps_the_filter)
{
    struct cue_settings settings = plain();
    struct cue_machine cue;
    double t = 0.0;
    settings.filter_hz = 1.0;
    cue_start(&cue, &settings, 900.0, 50.0);
    for (int i = 0; i < 100; i++) {
        cue_step(&cue, t += 0.02, i < 50 ? 900.0 : 905.0, true);
    }
    double before = cue.slow_mm;
    cue_retarget(&cue, &settings, 950.0);
    ck_assert_double_eq(cue.slow_mm, before);
    cue_step(&cue, t += 0.02, 905.0, true);
    ck_assert_double_eq_tol(cue.slow_mm, before, 0.5);
    for (int i = 0; i < 40; i++) {
        cue_step(&cue, t += 0.02, 905.0, true);
    }
    ck_assert_int_eq(cue.state, CUE_LOW);
}
END_TEST

START_TEST(rates_that_carry_no_filter)
{
    const double rates[] = {0.0, 1.5, NAN, (double)INFINITY, -3.0};
    struct cue_settings settings = plain();
    settings.filter_hz = 1.0;
    for (size_t i = 0; i < sizeof rates / sizeof rates[0]; i++) {
        struct cue_machine cue;
        cue_start(&cue, &settings, 900.0, rates[i]);
        cue_step(&cue, 0.0, 900.0, true);
        ck_assert_int_eq(cue_step(&cue, 0.1, 905.0, true), CUE_IN);
        ck_assert_double_eq(cue.slow_mm, 905.0);
    }
}
END_TEST

static int by_value(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

START_TEST(detection)
{
    /* Own computation, with the defaults: A 8.8 mm, s_f 3.5 mm, 1 Hz, on-delay 0.7 s: median (and
     * 90
     * %) time to the cue after a lasting shift of so many A. Another simulation of the same kind:
     * right to 0.25 s (0.4). */
    const struct {
        double shift, median_s, late_s;
    } table[] = {{1.25, 1.1, 2.2}, {1.5, 1.0, 1.5}, {2.0, 0.9, 1.0}};
    static struct simulated hold;
    static double delays[400];
    struct cue_settings settings = {8.8, 8.8, 1.0, 0.2, 0.7, 0.5, 0.5};
    for (size_t row = 0; row < 3; row++) {
        struct random_source random;
        random_seed(&random, test_seed(3));
        int alarms = 0;
        for (int run = 0; run < 400; run++) {
            struct rider rider = {.breathing_mm = 5,
                                  .breathing_hz = 0.3 + 0.4 * random_uniform(&random),
                                  .bob_mm = 4,
                                  .bob_hz = 1.2 + 2.3 * random_uniform(&random),
                                  .wander_s = 3,
                                  .noise_mm = 3};
            simulate_hold(&random, &rider, 900.0, 30.0, 50.0, &hold);
            struct cue_machine cue;
            cue_start(&cue, &settings, 900.0, 50.0);
            delays[run] = 20.0;
            for (size_t i = 0; i < hold.count; i++) {
                double t = hold.time_s[i], shift = t < 10.0 ? 0.0 : table[row].shift * 8.8;
                enum cue_state state = cue_step(&cue, t, hold.height_mm[i] + shift, true);
                if (t < 10.0 && state != CUE_IN) {
                    alarms++;
                }
                if (t >= 10.0 && state == CUE_HIGH) {
                    delays[run] = t - 10.0;
                    break;
                }
            }
        }
        qsort(delays, 400, sizeof delays[0], by_value);
        printf(
            "  reference: cue after a shift of %.2f A: median %.2f s (%.1f), 90 %% %.2f s (%.1f)\n",
            table[row].shift, delays[200], table[row].median_s, delays[360], table[row].late_s);
        ck_assert_double_eq_tol(delays[200], table[row].median_s, 0.25);
        ck_assert_double_eq_tol(delays[360], table[row].late_s, 0.4);
        ck_assert_int_eq(alarms, 0); /* 400 x 10 s in band: at most 1 false cue an hour */
    }
}
END_TEST

/* A sine of the low-pass's own frequency (1 Hz) comes through with 1/sqrt 2 of its height, and
 * whole once the filter is off; other limits alone leave the filter as it is. */
START_TEST(a_retargeted_cue_takes_the_filter_that_is_new)
{
    struct cue_settings settings = cue_usual(false);
    struct cue_machine cue;
    cue_start(&cue, &settings, 900.0, 100.0);
    for (int i = 0; i < 1025; i++) {
        cue_step(&cue, 0.01 * i, 900.0 + 10.0 * sin(0.0628318530717958648 * i), true);
    }
    double before_mm = cue.slow_mm;
    settings.band_above_mm = 5.0;
    cue_retarget(&cue, &settings, 880.0);
    ck_assert_double_eq(cue.slow_mm, before_mm);
    ck_assert(cue.filter_started);
    ck_assert(!cue_is_within(&cue)); /* 20 mm over the new target */
    settings.filter_hz = 0.0;
    cue_retarget(&cue, &settings, 880.0);
    cue_step(&cue, 10.25, 910.0, true);
    ck_assert_double_eq(cue.slow_mm, 910.0);
}
END_TEST

/* A moment that is none changes nothing; time that goes back begins the filter and the delay anew.
 */
START_TEST(time_that_is_none_and_time_that_goes_back)
{
    struct cue_settings settings = plain();
    struct cue_machine cue;
    double t = 10.0;
    cue_start(&cue, &settings, 900.0, 10.0);
    feed(&cue, &t, 900.0, 3);
    ck_assert_int_eq(cue_step(&cue, NAN, 950.0, true), CUE_IN);
    ck_assert_int_eq(cue_step(&cue, t, (double)INFINITY, true), CUE_IN);
    ck_assert_double_eq(cue.slow_mm, 900.0);
    ck_assert_int_eq(feed(&cue, &t, 911.0, 7), CUE_IN); /* 0.6 s outside */
    t = 5.0;
    ck_assert_int_eq(feed(&cue, &t, 911.0, 7), CUE_IN); /* from here on 0.7 s */
    ck_assert_int_eq(feed(&cue, &t, 911.0, 1), CUE_HIGH);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("cue");
    TCase *tests = tcase_create("cue");
    tcase_set_timeout(tests, 30);
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, on_and_off_delay);
    tcase_add_test(tests, dead_band);
    tcase_add_test(tests, the_usual_cue);
    tcase_add_test(tests, where_the_body_is);
    tcase_add_test(tests, no_limit);
    tcase_add_test(tests, readings_stop_and_come_back);
    tcase_add_test(tests, filter_in_gaps);
    tcase_add_test(tests, retarget_keeps_the_filter);
    tcase_add_test(tests, rates_that_carry_no_filter);
    tcase_add_test(tests, detection);
    tcase_add_test(tests, a_retargeted_cue_takes_the_filter_that_is_new);
    tcase_add_test(tests, time_that_is_none_and_time_that_goes_back);
    return test_main(suite);
}
