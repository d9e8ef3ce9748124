/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/copy_used.h"
#include "support/test_main.h"

#include <string.h>

struct shelf {
    int label;
    int left[4];
    int between;
    double right[3];
    int end;
};

START_TEST(unused_places_alone_stay)
{
    struct shelf from = {1, {2, 3, 4, 5}, 6, {7, 8, 9}, 10}, to;
    memset(&to, 0, sizeof to);
    const struct used_array arrays[] = {USED_ARRAY(struct shelf, left, 3),
                                        USED_ARRAY(struct shelf, right, 0)};
    copy_used(&to, &from, sizeof to, arrays, 2);
    ck_assert(to.label == 1 && to.between == 6 && to.end == 10);
    ck_assert(to.left[0] == 2 && to.left[2] == 4 && to.left[3] == 0);
    ck_assert_double_eq(to.right[0], 0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("copy used");
    TCase *tests = tcase_create("copy used");
    tcase_add_test(tests, unused_places_alone_stay);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
