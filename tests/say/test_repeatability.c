/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "record/record.h"
#include "say/repeatability.h"
#include "support/test_main.h"

START_TEST(what_has_a_say_is_named)
{
    ck_assert_str_eq(say_learnt_from(LEARNT_FROM_ALL),
                     "repeatability: this session's holds, this rider's earlier sessions and the "
                     "store's other riders");
    ck_assert_str_eq(say_learnt_from(LEARNT_FROM_RIDER),
                     "repeatability: this session's holds and this rider's earlier sessions");
    ck_assert_str_eq(say_learnt_from(LEARNT_FROM_STORE),
                     "repeatability: this session's holds and the store's other riders");
    ck_assert_str_eq(say_learnt_from(LEARNT_FROM_NONE),
                     "repeatability: this session's holds alone");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("repeatability");
    TCase *tests = tcase_create("repeatability");
    tcase_add_test(tests, what_has_a_say_is_named);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
