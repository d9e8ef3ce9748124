/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* How well a wandering level is known, and the length of captures of targets that rests on it. */
#include "reference.h"

#include "measure/target.h"

#define RATE_HZ 30.0
#define TWO_PI 6.28318530717958647692

static double time_s[6000], height_mm[6000];

/* 2 mm every 47 s, 1.5 mm every 13 s, 0.8 mm every 6.1 s, and breathing of 3 mm. */
static size_t make_series(double seconds)
{
    size_t count = (size_t)(seconds * RATE_HZ + 0.5);
    for (size_t i = 0; i < count; i++) {
        double t = time_s[i] = (double)i / RATE_HZ;
        height_mm[i] = 900.0 + 2.0 * sin(TWO_PI * t / 47.0) + 1.5 * cos(TWO_PI * t / 13.0 + 1.0) +
                       0.8 * sin(TWO_PI * t / 6.1) + 3.0 * sin(TWO_PI * 0.4 * t);
    }
    return count;
}

/* Computed apart (Python 3, plain sums): covariances of the steps by sums over 40 x 40 moments of
 * each pair, the models by Gauss's elimination, the half-widths to come by sums over 2,000 moments.
 */
START_TEST(half_widths)
{
    static const struct {
        double seconds, mean_mm, half_mm, after_45_mm, after_90_mm, error_mm, of_60_mm;
    } rows[] = {
        {20.0, 901.1837018, 4.264799, 3.819902, 3.167041, 1.936690, 1.502956},
        {30.0, 900.7606847, 4.524255, 4.218467, 3.494120, 2.033977, 1.668129},
        {60.0, 900.2022643, 2.716036, 3.062560, 2.524766, 1.198796, 1.243129},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct wander_estimate e;
        size_t count = make_series(rows[i].seconds);
        ck_assert_int_eq(wander_estimate(time_s, height_mm, count, 0.0, rows[i].seconds, &e),
                         MEASURE_OK);
        ck_assert_double_eq_tol(e.mean_mm, rows[i].mean_mm, 1e-6);
        ck_assert_double_eq_tol(e.half_width_mm, rows[i].half_mm, 1e-3);
        ck_assert_double_eq_tol(wander_half_width_after(&e, 45.0), rows[i].after_45_mm, 1e-3);
        ck_assert_double_eq_tol(wander_half_width_after(&e, 90.0), rows[i].after_90_mm, 1e-3);
        ck_assert_double_eq_tol(e.error_mm, rows[i].error_mm, 1e-3);
        ck_assert_double_eq_tol(wander_error_of(&e, 60.0), rows[i].of_60_mm, 1e-3);
    }
}
END_TEST

/* What lies before from_s is not looked at, nor how high the level is. */
START_TEST(a_part_of_a_capture)
{
    struct wander_estimate whole, part;
    size_t count = make_series(30.0);
    wander_estimate(time_s, height_mm, count, 0.0, 30.0, &whole);
    for (size_t i = 0; i < count; i++) {
        time_s[i] += 10.0;
        height_mm[i] -= 1000.0;
    }
    memmove(time_s + 1, time_s, count * sizeof *time_s);
    memmove(height_mm + 1, height_mm, count * sizeof *height_mm);
    time_s[0] = 3.0;
    height_mm[0] = 4000.0;
    wander_estimate(time_s, height_mm, count + 1, 10.0, 40.0, &part);
    ck_assert_double_eq_tol(part.mean_mm, whole.mean_mm - 1000.0, 1e-9);
    ck_assert_double_eq_tol(part.half_width_mm, whole.half_width_mm, 1e-9);
}
END_TEST

/* A second that is missing changes little: what moves slowly is still seen. */
START_TEST(a_gap)
{
    struct wander_estimate whole, gap;
    size_t count = make_series(60.0), kept = 0;
    wander_estimate(time_s, height_mm, count, 0.0, 60.0, &whole);
    for (size_t i = 0; i < count; i++) {
        if (!(time_s[i] >= 20.0 && time_s[i] < 22.0)) {
            time_s[kept] = time_s[i];
            height_mm[kept++] = height_mm[i];
        }
    }
    ck_assert_int_eq(wander_estimate(time_s, height_mm, kept, 0.0, 60.0, &gap), MEASURE_OK);
    ck_assert_double_eq_tol(gap.mean_mm, whole.mean_mm, 0.1);
    ck_assert_double_eq_tol(gap.half_width_mm, whole.half_width_mm, 0.3);
    /* one reading a second will do, too */
    kept = 0;
    count = make_series(60.0);
    for (size_t i = 0; i < count; i += 30) {
        time_s[kept] = time_s[i];
        height_mm[kept++] = height_mm[i];
    }
    ck_assert_int_eq(wander_estimate(time_s, height_mm, kept, 0.0, 60.0, &gap), MEASURE_OK);
    ck_assert(isfinite(gap.half_width_mm) && gap.half_width_mm > 1.0 && gap.half_width_mm < 6.0);
}
END_TEST

START_TEST(too_little)
{
    struct wander_estimate e;
    size_t count = make_series(30.0);
    ck_assert_int_eq(wander_estimate(time_s, height_mm, 0, 0.0, 30.0, &e), MEASURE_TOO_FEW);
    ck_assert_int_eq(wander_estimate(time_s, height_mm, 3, 0.0, 30.0, &e), MEASURE_TOO_FEW);
    ck_assert_int_eq(wander_estimate(time_s, height_mm, count, 0.0, 0.0, &e), MEASURE_TOO_FEW);
    ck_assert_int_eq(wander_estimate(time_s, height_mm, count, 0.0, 2.0, &e), MEASURE_TOO_FEW);
    ck_assert_int_eq(wander_estimate(time_s, height_mm, count, 0.0, (double)NAN, &e),
                     MEASURE_TOO_FEW);
    for (size_t i = 0; i < count; i++) { /* a body that stands still is known to what could hide */
        height_mm[i] = 900.0;
    }
    ck_assert_int_eq(wander_estimate(time_s, height_mm, count, 0.0, 30.0, &e), MEASURE_OK);
    ck_assert(isfinite(e.half_width_mm) && e.half_width_mm > 0.0 && e.half_width_mm < 2.0);
}
END_TEST

/* ---- captures ---- */

static struct target_estimate known_to(double half_width_mm)
{
    struct target_estimate e;
    size_t count = make_series(20.0);
    memset(&e, 0, sizeof e);
    wander_estimate(time_s, height_mm, count, 0.0, 20.0, &e.wander);
    e.has_interval = true;
    e.half_width_mm = half_width_mm;
    return e;
}

/* Rules: 5 s steps, at least 10 s more, until the half-width to come is 1.2 times the wanted one:
 * after 20 s of the series above 3.82 mm is expected of 45 s and 3.17 mm of 90 s. */
START_TEST(proposed_lengths)
{
    struct target_settings settings = target_usual();
    struct target_estimate e = known_to(2.9);
    ck_assert_double_eq(settings.until_mm, 3.0);
    ck_assert_double_eq(settings.at_least_s, 30.0);
    ck_assert_double_eq(settings.at_most_s, 90.0);
    ck_assert(target_is_known(&e, 3.0) && !target_is_known(&e, 2.8));
    ck_assert(target_is_known(&e, e.half_width_mm)); /* just so well is enough */
    settings.until_mm = 3.83 / 1.2;                  /* 45 s are the first that will do */
    ck_assert_double_eq(target_length_s(&e, &settings, 20.0), 45.0);
    settings.until_mm = 3.81 / 1.2;
    ck_assert_double_eq(target_length_s(&e, &settings, 20.0), 50.0);
    settings.until_mm = 9.0;
    ck_assert_double_eq(target_length_s(&e, &settings, 20.0), 30.0); /* at least */
    ck_assert_double_eq(target_length_s(&e, &settings, 30.0), 30.0); /* known: over */
    settings.until_mm = 1.0;
    ck_assert_double_eq(target_length_s(&e, &settings, 20.0), 90.0); /* at most */
    ck_assert_double_eq(target_length_s(&e, &settings, 90.0), 90.0); /* over, known or not */
    /* what was cut does not count */
    settings.until_mm = 3.83 / 1.2;
    e.cut_s = 5.0;
    ck_assert_double_eq(target_length_s(&e, &settings, 20.0), 50.0);
    /* looked at after 45 s and not known: 10 s more at least */
    e = known_to(9.1);
    settings.until_mm = 9.0;
    ck_assert_double_eq(target_length_s(&e, &settings, 45.01), 55.0);
    ck_assert_double_eq(target_length_s(&e, &settings, 46.6),
                        55.0); /* ten seconds more, in steps */
    ck_assert_double_eq(target_length_s(&e, &settings, 47.6), 60.0);
    ck_assert_double_eq(target_length_s(&e, &settings, 84.0), 90.0);
    /* not settled is never known, and nothing can be foreseen */
    e = known_to(1.0);
    e.not_settled = true;
    ck_assert(!target_is_known(&e, 3.0));
    ck_assert_double_eq(target_length_s(&e, &settings, 45.0), 55.0);
    e = known_to(1.0);
    e.has_interval = false;
    ck_assert(!target_is_known(&e, 3.0));
    ck_assert_double_eq(target_length_s(&e, &settings, 20.0), 30.0);
}
END_TEST

/* Heights whose squares are no numbers. */
START_TEST(heights_beyond_all_numbers)
{
    struct wander_estimate e;
    size_t count = make_series(60.0);
    for (size_t i = 0; i < count; i++) {
        height_mm[i] *= 1e200;
    }
    ck_assert_int_eq(wander_estimate(time_s, height_mm, count, 0.0, 60.0, &e), MEASURE_NOT_FINITE);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("wander");
    TCase *tests = tcase_create("wander");
    tcase_add_test(tests, half_widths);
    tcase_add_test(tests, a_part_of_a_capture);
    tcase_add_test(tests, a_gap);
    tcase_add_test(tests, too_little);
    tcase_add_test(tests, proposed_lengths);
    tcase_add_test(tests, heights_beyond_all_numbers);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
