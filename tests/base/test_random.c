/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/random.h"
#include "support/test_main.h"

#include <math.h>

START_TEST(the_generator_gives_its_authors_numbers)
{
    /* Outputs of the reference code of xoshiro256** for the state 1, 2, 3, 4. */
    static const uint64_t wanted[] = {11520,
                                      0,
                                      1509978240,
                                      1215971899390074240,
                                      1216172134540287360,
                                      607988272756665600,
                                      16172922978634559625U,
                                      8476171486693032832,
                                      10595114339597558777U,
                                      2904607092377533576};
    struct random_source source = {{1, 2, 3, 4}, 0, 0};
    for (size_t i = 0; i < sizeof wanted / sizeof wanted[0]; i++) {
        ck_assert_uint_eq(random_u64(&source), wanted[i]);
    }
}
END_TEST

START_TEST(the_seed_goes_through_splitmix64)
{
    /* Outputs of the reference code of splitmix64 for the seed 1234567. */
    struct random_source source;
    random_seed(&source, 1234567);
    ck_assert_uint_eq(source.state[0], 6457827717110365317U);
    ck_assert_uint_eq(source.state[1], 3203168211198807973U);
    ck_assert_uint_eq(source.state[2], 9817491932198370423U);
    ck_assert_uint_eq(source.state[3], 4593380528125082431U);
}
END_TEST

START_TEST(numbers_are_uniform_and_normal)
{
    struct random_source source;
    random_seed(&source, 42);
    const int count = 100000;
    double sum = 0;
    double square_sum = 0;
    double fourth_sum = 0;
    double uniform_sum = 0;
    for (int i = 0; i < count; i++) {
        double uniform = random_uniform(&source);
        ck_assert(uniform >= 0 && uniform < 1);
        uniform_sum += uniform;
        double normal = random_normal(&source);
        sum += normal;
        square_sum += normal * normal;
        fourth_sum += normal * normal * normal * normal;
    }
    /* Five standard errors of each moment. */
    ck_assert_double_eq_tol(uniform_sum / count, 0.5, 5 * sqrt(1.0 / 12 / count));
    ck_assert_double_eq_tol(sum / count, 0, 5 * sqrt(1.0 / count));
    ck_assert_double_eq_tol(square_sum / count, 1, 5 * sqrt(2.0 / count));
    ck_assert_double_eq_tol(fourth_sum / count, 3, 5 * sqrt(96.0 / count));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("random");
    TCase *one = tcase_create("random");
    tcase_add_test(one, the_generator_gives_its_authors_numbers);
    tcase_add_test(one, the_seed_goes_through_splitmix64);
    tcase_add_test(one, numbers_are_uniform_and_normal);
    suite_add_tcase(suite, one);
    return test_main(suite);
}
