/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Allan deviation against published and computed figures. */
#include "reference.h"

#include "base/random.h"
#include "measure/allan.h"
#include "support/test_seed.h"

START_TEST(allan)
{
    const char *sets[] = {"freq9", "freq1000"};
    static double x[1000];
    for (int s = 0; s < 2; s++) {
        char file[40], line[200], what[80];
        snprintf(file, sizeof file, "%s.txt", sets[s]);
        size_t n = reference_numbers(file, x, 1000), checks = 0;
        const char *files[] = {"allan-expected.csv", "allan-computed.csv"};
        for (int f = 0; f < 2; f++) {
            FILE *expected = reference_open(files[f]);
            while (reference_line(expected, line, sizeof line)) {
                char *which = strtok(line, ","), *quantity = strtok(NULL, ","),
                     *value = strtok(NULL, ",");
                if (!which || strcmp(which, sets[s]) != 0 || !quantity ||
                    strncmp(quantity, "oadev_", 6) != 0) {
                    continue;
                }
                size_t factor = (size_t)atoi(strchr(quantity, '_') + 1);
                double want, got;
                ck_assert(text_to_double(value, &want));
                ck_assert_int_eq(allan_overlapping(x, n, factor, &got), MEASURE_OK);
                snprintf(what, sizeof what, "%s %s %s", f == 0 ? "NIST SP 1065" : "computed",
                         sets[s], quantity);
                reference_check(what, got, want, f == 0 ? 6.3 : 11);
                checks++;
            }
            fclose(expected);
        }
        ck_assert_uint_ge(checks, 6);
    }
}
END_TEST

START_TEST(allan_of_noise_and_drift)
{
    /* white noise falls as 1/sqrt(averaging time); a drift makes the curve turn up again */
    static double x[20000];
    struct random_source random;
    struct allan_curve curve;
    random_seed(&random, test_seed(1066));
    for (int i = 0; i < 20000; i++) {
        x[i] = 400.0 + 2.0 * random_normal(&random);
    }
    ck_assert_int_eq(allan_curve(x, 20000, 0.02, &curve), MEASURE_OK);
    ck_assert_double_eq_tol(curve.point[0].deviation, 2.0, 0.05);
    ck_assert_double_eq_tol(curve.point[6].deviation, 2.0 / 8.0, 0.03);
    ck_assert_double_eq_tol(curve.point[6].averaging_s, 1.28, 1e-12);
    ck_assert_uint_ge(curve.best, 8);
    for (int i = 0; i < 20000; i++) {
        x[i] += 0.0005 * i;
    }
    ck_assert_int_eq(allan_curve(x, 20000, 0.02, &curve), MEASURE_OK);
    ck_assert_uint_lt(curve.best, 9);
    ck_assert_double_gt(curve.point[curve.count - 1].deviation,
                        2.0 * curve.point[curve.best].deviation);
    for (int i = 0; i < 100; i++) {
        x[i] = 3.0;
    }
    ck_assert_int_eq(allan_curve(x, 100, 0.02, &curve), MEASURE_CONSTANT);
    ck_assert_int_eq(allan_curve(x, 17, 0.02, &curve), MEASURE_TOO_FEW);
    x[0] = 3.5;
    ck_assert_int_eq(allan_curve(x, 18, 0.02, &curve), MEASURE_OK); /* 18 groups of 1, 9 of 2 */
    ck_assert_uint_eq(curve.count, 2);
    ck_assert_int_eq(allan_curve(x, 100, 0.0, &curve), MEASURE_BAD_SETTING);
    x[7] = NAN;
    ck_assert_int_eq(allan_curve(x, 100, 0.02, &curve), MEASURE_NOT_FINITE);
    double d;
    ck_assert_int_eq(allan_overlapping(x, 100, 0, &d), MEASURE_BAD_SETTING);
    ck_assert_int_eq(allan_overlapping(x, 100, 51, &d), MEASURE_TOO_FEW);
    ck_assert_int_eq(allan_overlapping(x, 0, 1, &d), MEASURE_TOO_FEW);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("allan");
    TCase *tests = tcase_create("allan");
    tcase_set_timeout(tests, 30);
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, allan);
    tcase_add_test(tests, allan_of_noise_and_drift);
    return test_main(suite);
}
