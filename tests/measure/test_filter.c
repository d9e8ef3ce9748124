/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Low-pass, outliers and spectrum against SciPy's, and values worked by hand. */
#include "reference.h"

#include "base/random.h"
#include "measure/filter.h"
#include "measure/hampel.h"
#include "measure/spectrum.h"
#include "support/test_seed.h"

#include <complex.h>

static const double pi = 3.14159265358979323846;

static double gain(const struct low_pass *f, double turns)
{
    double complex z = cexp(-2.0 * pi * I * turns);
    return cabs((f->b0 + f->b1 * z + f->b2 * z * z) / (1.0 + f->a1 * z + f->a2 * z * z));
}

START_TEST(butterworth)
{
    struct reference_table *table = reference_table("butter2.csv");
    double worst = 16.0;
    for (size_t i = 0; i < table->rows; i++) {
        const double *row = table->value[i];
        struct low_pass f;
        ck_assert(low_pass_design(row[1], row[0], &f));
        double got[] = {f.b0,
                        f.b1,
                        f.b2,
                        f.a1,
                        f.a2,
                        gain(&f, row[1] / row[0]),
                        gain(&f, 2.0 * row[1] / row[0])};
        for (int q = 0; q < 7; q++) {
            worst = fmin(worst, reference_digits(got[q], row[2 + q]));
        }
    }
    printf("  reference: Butterworth, %zu filters x 7 values (SciPy 1.10.1): %.1f digits at least "
           "(11.0 "
           "wanted)\n",
           table->rows, worst);
    ck_assert_double_ge(worst, 11.0);
    free(table);

    struct low_pass f; /* own computation, equal to SciPy's */
    ck_assert(low_pass_design(3.0, 50.0, &f));
    reference_check("Butterworth 3 Hz at 50, b0", f.b0, .027859766117136, 12);
    reference_check("Butterworth 3 Hz at 50, a1", f.a1, -1.475480443592646, 12);
    reference_check("Butterworth 3 Hz at 50, a2", f.a2, .586919508061190, 12);
    ck_assert(low_pass_design(0.1, 1.0, &f));
    reference_check("Butterworth fc/fs 0.1, b0", f.b0, .0674552738890719, 12);
    reference_check("Butterworth fc/fs 0.1, a1", f.a1, -1.1429805025399011, 12);
    /* the same section: gains of 1 Hz at 50 samples/s at 0.4, 1.5 and 3.0 Hz */
    ck_assert(low_pass_design(1.0, 50.0, &f));
    ck_assert_double_eq_tol(gain(&f, 0.4 / 50), .99, .0051);
    ck_assert_double_eq_tol(gain(&f, 1.5 / 50), .41, .0051);
    ck_assert_double_eq_tol(gain(&f, 3.0 / 50), .11, .0051);
}
END_TEST

START_TEST(bad_design)
{
    struct low_pass f;
    ck_assert(!low_pass_design(0.0, 50.0, &f));
    ck_assert(!low_pass_design(25.0, 50.0, &f));
    ck_assert(!low_pass_design(30.0, 50.0, &f));
    ck_assert(!low_pass_design(-1.0, 50.0, &f));
    ck_assert(!low_pass_design(NAN, 50.0, &f));
    ck_assert(!low_pass_design(1.0, NAN, &f));
    ck_assert(!low_pass_design(1.0, (double)INFINITY, &f));
}
END_TEST

static void steps(double rate, double cutoff, size_t causal, size_t zero_phase)
{
    struct reference_table *table = reference_table("step-response.csv");
    struct low_pass f;
    struct low_pass_state state;
    double worst = 0.0, both[201];
    char what[80];
    ck_assert(low_pass_design(cutoff, rate, &f));
    low_pass_rest(&state, 0.0);
    for (size_t i = 0; i < 101; i++) {
        worst = fmax(worst, fabs(low_pass_step(&f, &state, 1.0) - table->value[i][causal]));
    }
    snprintf(what, sizeof what, "step response %.1f Hz at %.0f, largest error + 1", cutoff, rate);
    reference_check(what, 1.0 + worst, 1.0, 10);
    for (size_t i = 0; i < 201; i++) {
        both[i] = i < 100 ? 0.0 : 1.0;
    }
    low_pass_two_pass(&f, both, 201);
    worst = 0.0;
    for (size_t i = 0; i < 101; i++) {
        worst = fmax(worst, fabs(both[50 + i] - table->value[i][zero_phase]));
    }
    snprintf(what, sizeof what, "zero-lag step %.1f Hz at %.0f, largest error + 1", cutoff, rate);
    reference_check(what, 1.0 + worst, 1.0, 10);
    free(table);
}

START_TEST(step_responses)
{
    steps(20.0, 0.5, 1, 3);
    steps(100.0, 2.0, 2, 4);
}
END_TEST

START_TEST(two_passes)
{
    /* Winter's correction: two passes of fc/.8022 have the gain 1/sqrt 2 at fc. */
    struct low_pass f;
    ck_assert(low_pass_design_two_pass(5.0, 1000.0, &f));
    double g = gain(&f, 5.0 / 1000.0);
    reference_printed("gain of two corrected passes at the cut-off", g * g, sqrt(0.5), 2e-4);
    /* no lag: a slow sine keeps its phase; and short or constant stretches survive */
    double x[400], want = 0.0;
    ck_assert(low_pass_design_two_pass(5.0, 50.0, &f));
    for (int i = 0; i < 400; i++) {
        x[i] = 400.0 + sin(2 * pi * 0.3 * i / 50.0);
    }
    low_pass_two_pass(&f, x, 400);
    for (int i = 20; i < 380; i++) {
        want = fmax(want, fabs(x[i] - 400.0 - sin(2 * pi * 0.3 * i / 50.0)));
    }
    ck_assert_double_lt(want, 2e-4);
    for (size_t n = 1; n < 14; n++) {
        for (size_t i = 0; i < n; i++) {
            x[i] = 812.5;
        }
        low_pass_two_pass(&f, x, n);
        for (size_t i = 0; i < n; i++) {
            ck_assert_double_eq_tol(x[i], 812.5, 1e-10);
        }
    }
}
END_TEST

START_TEST(hampel_reference)
{
    struct reference_table *table = reference_table("hampel.csv");
    struct hampel_settings settings = {3, 3.0, 0.0, (double)INFINITY};
    double x[40], medians[40], scales[40], worst = 16.0;
    uint8_t reject[40];
    size_t n = table->rows, flag = reference_column(table, "shrink_flag");
    size_t median = reference_column(table, "shrink_median"),
           scale = reference_column(table, "shrink_sigma");
    for (size_t i = 0; i < n; i++) {
        x[i] = table->value[i][1];
    }
    ck_assert_int_eq(hampel_reject(x, n, &settings, reject, medians, scales), MEASURE_OK);
    for (size_t i = 0; i < n; i++) {
        ck_assert_int_eq(reject[i], (int)table->value[i][flag]);
        worst = fmin(worst, reference_digits(medians[i], table->value[i][median]));
        worst = fmin(worst, reference_digits(scales[i], table->value[i][scale]));
    }
    printf("  reference: Hampel, 25 medians, scales and flags (pracma 2.4.2): %.1f digits (11.0 "
           "wanted)\n",
           worst);
    ck_assert_double_ge(worst, 11.0);
    free(table);
}
END_TEST

START_TEST(hampel_worked)
{
    /* own computation */
    double x[] = {400.2, 400.9, 399.6, 400.4, 455.0, 400.1, 399.8, 400.6, 400.0}, medians[9],
           scales[9];
    uint8_t reject[9];
    struct hampel_settings settings = {3, 3.0, 0.5, 150.0};
    ck_assert_int_eq(hampel_reject(x, 9, &settings, reject, medians, scales), MEASURE_OK);
    for (int i = 0; i < 9; i++) {
        ck_assert_int_eq(reject[i], i == 4);
    }
    reference_printed("worked Hampel, median", medians[4], 400.4, 1e-9);
    reference_printed("worked Hampel, scale", scales[4], 0.7413, 5e-5);
}
END_TEST

static int by_value(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static double plain_median(double *values, size_t n)
{
    qsort(values, n, sizeof *values, by_value);
    return n % 2 ? values[n / 2] : 0.5 * (values[n / 2 - 1] + values[n / 2]);
}

/* The moving window against sorting each window anew. */
START_TEST(hampel_against_sorting)
{
    struct random_source random;
    unsigned seed = 31;
    random_seed(&random, test_seed(seed));
    for (int run = 0; run < 300; run++) {
        double x[120] = {0.0}, medians[120], scales[120], window[130] = {0.0};
        uint8_t reject[120];
        size_t n = 1 + (size_t)(random_uniform(&random) * 119.0);
        struct hampel_settings settings = {1 + (size_t)(random_uniform(&random) * 140.0), 3.0, 0.0,
                                           (double)INFINITY};
        for (size_t i = 0; i < n; i++) {
            x[i] = run % 2 ? floor(random_uniform(&random) * 5.0) : random_normal(&random);
        }
        ck_assert_int_eq(hampel_reject(x, n, &settings, reject, medians, scales), MEASURE_OK);
        for (size_t i = 0; i < n; i++) {
            size_t from = i > settings.half_window ? i - settings.half_window : 0;
            size_t to = i + settings.half_window < n ? i + settings.half_window : n - 1;
            size_t m = to - from + 1;
            memcpy(window, x + from, m * sizeof *x);
            double median = plain_median(window, m);
            for (size_t j = 0; j < m; j++) {
                window[j] = fabs(x[from + j] - median);
            }
            double scale = 1.4826 * plain_median(window, m);
            ck_assert_msg(medians[i] == median && fabs(scales[i] - scale) < 1e-12,
                          "seed %u run %d at %zu", seed, run, i);
            ck_assert_int_eq(reject[i], n >= 3 && fabs(x[i] - median) > 3.0 * scale);
        }
    }
}
END_TEST

START_TEST(hampel_floor_and_bad_input)
{
    /* a quantised signal with MAD 0: the floor keeps single steps */
    double x[] = {400, 400, 400, 401, 400, 400, 400, 403, 400, 400};
    uint8_t reject[10];
    struct hampel_settings settings = {3, 3.0, 0.5, 150.0};
    ck_assert_int_eq(hampel_reject(x, 10, &settings, reject, NULL, NULL), MEASURE_OK);
    for (int i = 0; i < 10; i++) {
        ck_assert_int_eq(reject[i], i == 7);
    }
    double wide[] = {0, 400, 0, 400, 0, 400, 0}; /* scale so large that only the jump limit helps */
    ck_assert_int_eq(hampel_reject(wide, 7, &settings, reject, NULL, NULL), MEASURE_OK);
    ck_assert_int_eq(reject[3], 1);
    x[2] = NAN;
    ck_assert_int_eq(hampel_reject(x, 10, &settings, reject, NULL, NULL), MEASURE_NOT_FINITE);
    settings.half_window = 0;
    ck_assert_int_eq(hampel_reject(wide, 7, &settings, reject, NULL, NULL), MEASURE_BAD_SETTING);
    settings = (struct hampel_settings){3, NAN, 0.5, 150.0};
    ck_assert_int_eq(hampel_reject(wide, 7, &settings, reject, NULL, NULL), MEASURE_BAD_SETTING);
    settings.sigmas = 3.0;
    ck_assert_int_eq(hampel_reject(wide, 0, &settings, reject, NULL, NULL), MEASURE_OK);
    ck_assert_int_eq(hampel_reject(wide, 2, &settings, reject, NULL, NULL), MEASURE_OK);
    ck_assert_int_eq(reject[0] + reject[1], 0);
}
END_TEST

/* A sensor's own: readings 100 mm to either side have a scale of 148 mm, and five of it are no
 * limit, but 150 mm are. Scatter of 0 counts as 0.5 mm: 2.5 mm are the limit then. */
START_TEST(hampel_of_a_sensor_s_readings)
{
    double wide[102], still[102];
    uint8_t reject[102];
    struct hampel_settings settings = hampel_of_sensor();
    for (size_t i = 0; i < 102; i++) {
        wide[i] = 400.0 + 100.0 * (double)((int)(i % 3) - 1);
        still[i] = 400.0;
    }
    wide[40] = 549.0; /* both were 400 */
    wide[61] = 551.0;
    still[40] = 402.4;
    still[60] = 402.6;
    ck_assert_int_eq(hampel_reject(wide, 102, &settings, reject, NULL, NULL), MEASURE_OK);
    for (int i = 0; i < 102; i++) {
        ck_assert_int_eq(reject[i], i == 61);
    }
    ck_assert_int_eq(hampel_reject(still, 102, &settings, reject, NULL, NULL), MEASURE_OK);
    for (int i = 0; i < 102; i++) {
        ck_assert_int_eq(reject[i], i == 60);
    }
    /* 50 to either side: about the 46th of 50 at one level the window has 49 of them, and 48 of
     * the next level; about the 47th 49 of either, whose median lies between */
    for (size_t odd = 46; odd <= 47; odd++) {
        for (size_t i = 0; i < 102; i++) {
            still[i] = i < 50 && i != odd ? 400.0 : 410.0;
        }
        ck_assert_int_eq(hampel_reject(still, 102, &settings, reject, NULL, NULL), MEASURE_OK);
        ck_assert_int_eq(reject[odd], odd == 46);
    }
}
END_TEST

static void welch(const char *file, const char *which, size_t window, size_t windows)
{
    double x[3000], worst = 0.0, tolerance;
    char what[80];
    ck_assert_uint_eq(reference_numbers("two-tone.txt", x, 3000), 3000);
    struct reference_table *table = reference_table(file);
    struct spectrum *s = spectrum_create(window, 50.0);
    ck_assert_uint_eq(spectrum_add(s, x, 3000), windows);
    ck_assert_uint_eq(spectrum_windows(s), windows);
    ck_assert_uint_eq(window / 2 + 1, table->rows);
    for (size_t i = 0; i < table->rows; i++) {
        double want = table->value[i][1];
        double hz = table->value[i][0], bin_hz = 50.0 / (double)window;
        ck_assert_double_eq_tol((double)i * spectrum_bin_hz(s), hz, 1e-12);
        double density = spectrum_power(s, hz - 0.5 * bin_hz, hz + 0.5 * bin_hz) / bin_hz;
        worst = fmax(worst, fabs(density - want) / want);
    }
    snprintf(what, sizeof what, "%s, all densities, largest error + 1 (SciPy 1.10.1)", which);
    reference_check(what, 1.0 + worst, 1.0, 9);
    const struct {
        const char *name;
        double from, to;
    } bands[] = {{"band_sum_0.12_0.62", .12, .62},
                 {"band_sum_1.28_1.72", 1.28, 1.72},
                 {"band_sum_0.62_3.02", .62, 3.02},
                 {"band_sum_3.02_25", 3.02, 25.01},
                 {"band_sum_0_25", 0, 25.01}};
    for (size_t i = 0; i < sizeof bands / sizeof bands[0]; i++) {
        snprintf(what, sizeof what, "%s %s", which, bands[i].name);
        reference_check(
            what, spectrum_power(s, bands[i].from, bands[i].to),
            reference_expected("filters-expected.csv", which, bands[i].name, &tolerance), 9);
    }
    /* the tones' true powers, 4.5 and 0.5, by construction */
    ck_assert_double_eq_tol(spectrum_power(s, .12, .62), 4.5, 0.05);
    ck_assert_double_eq_tol(spectrum_power(s, 1.28, 1.72), 0.5, 0.02);
    spectrum_destroy(s);
    free(table);
}

START_TEST(welch_spectra)
{
    welch("welch-psd-512.csv", "welch512", 512, 10);
    welch("welch-psd-1000.csv", "welch1000", 1000, 5);
}
END_TEST

/* A sine of 2 on a bin has a power of 2, by Parseval: also on the last but one of an odd window,
 * whose last bin is one of a pair as the others are. */
START_TEST(an_odd_window_has_all_of_the_power)
{
    enum { WINDOW = 75 };
    double x[WINDOW];
    for (int bin = 10; bin <= 36; bin += 26) {
        for (int i = 0; i < WINDOW; i++) {
            x[i] = 2.0 * sin(2.0 * pi * bin * i / WINDOW + 0.4);
        }
        struct spectrum *s = spectrum_create(WINDOW, 75.0);
        ck_assert_uint_eq(spectrum_add(s, x, WINDOW), 1);
        ck_assert_double_eq_tol(spectrum_power(s, 0.0, 40.0), 2.0, 1e-9);
        ck_assert_double_eq_tol(spectrum_power(s, bin - 1.5, bin + 1.5), 2.0, 1e-9);
        spectrum_destroy(s);
    }
}
END_TEST

START_TEST(spectrum_guards)
{
    ck_assert_ptr_null(spectrum_create(0, 50.0));
    ck_assert_ptr_null(spectrum_create(3, 50.0));
    ck_assert_ptr_null(spectrum_create(100, 0.0));
    ck_assert_ptr_null(spectrum_create(100, NAN));
    spectrum_destroy(NULL);
    struct spectrum *s = spectrum_create(64, 50.0);
    double x[63] = {0};
    ck_assert_uint_eq(spectrum_add(s, x, 63), 0);
    ck_assert_double_eq(spectrum_power(s, 0.0, 25.0), 0.0);
    spectrum_destroy(s);
    ck_assert_uint_eq(spectrum_window_near(1003), 1000);
    ck_assert_uint_eq(spectrum_window_near(1111), 1080);
    ck_assert_uint_eq(spectrum_window_near(3), 4);
    ck_assert_uint_eq(spectrum_window_near(0), 4);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("filter");
    TCase *tests = tcase_create("filter");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, butterworth);
    tcase_add_test(tests, bad_design);
    tcase_add_test(tests, step_responses);
    tcase_add_test(tests, two_passes);
    tcase_add_test(tests, hampel_reference);
    tcase_add_test(tests, hampel_worked);
    tcase_add_test(tests, hampel_against_sorting);
    tcase_add_test(tests, hampel_floor_and_bad_input);
    tcase_add_test(tests, hampel_of_a_sensor_s_readings);
    tcase_add_test(tests, welch_spectra);
    tcase_add_test(tests, an_odd_window_has_all_of_the_power);
    tcase_add_test(tests, spectrum_guards);
    return test_main(suite);
}
