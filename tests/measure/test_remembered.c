/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Answers that are remembered: of the same question alone, and so many of the last. */
#include "../src/measure/remembered.h"
#include "support/test_main.h"

#include <string.h>

static struct remembered remembered;

static void keep(double first, double second, double answer)
{
    const double asked[] = {first, second};
    remembered_keep(&remembered, asked, 2, answer);
}

static double found(double first, double second)
{
    const double asked[] = {first, second};
    double answer = -1.0;
    bool there = remembered_find(&remembered, asked, 2, &answer);
    ck_assert(there == (answer != -1.0));
    return answer;
}

START_TEST(the_same_numbers_and_as_many)
{
    double answer = -1.0;
    memset(&remembered, 0, sizeof remembered);
    ck_assert(found(0.0, 0.0) == -1.0); /* an empty place is no question of zeros */
    keep(1.0, 2.0, 3.0);
    keep(1.0, 5.0, 6.0);
    ck_assert(found(1.0, 2.0) == 3.0);
    ck_assert(found(1.0, 5.0) == 6.0);
    ck_assert(found(1.0, 3.0) == -1.0 && found(2.0, 2.0) == -1.0);
    const double longer[] = {1.0, 2.0, 0.0};
    ck_assert(!remembered_find(&remembered, longer, 1, &answer));
    ck_assert(!remembered_find(&remembered, longer, 3, &answer));
    ck_assert(answer == -1.0);
}
END_TEST

START_TEST(the_last_sixty_four)
{
    memset(&remembered, 0, sizeof remembered);
    for (int i = 0; i < 65; i++) {
        keep(i, 0.5, 100.0 + i);
    }
    ck_assert(found(0, 0.5) == -1.0);
    for (int i = 1; i < 65; i++) {
        ck_assert(found(i, 0.5) == 100.0 + i);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("remembered");
    TCase *tests = tcase_create("remembered");
    tcase_add_test(tests, the_same_numbers_and_as_many);
    tcase_add_test(tests, the_last_sixty_four);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
