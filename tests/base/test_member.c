/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/member.h"
#include "support/test_main.h"

struct thing {
    bool first;
    double height_mm;
    int below;
    int64_t far_below;
    unsigned whole;
    size_t count;
    uint64_t large;
    bool yes;
    char name[8];
    const char *words, *none;
};

static const struct thing thing = {.first = true,
                                   .height_mm = 883.25,
                                   .below = -7,
                                   .far_below = -5000000000,
                                   .whole = 4000000000u,
                                   .count = 9,
                                   .large = 6000000000u,
                                   .yes = true,
                                   .name = "head",
                                   .words = "a rider"};

#define OF(name) ((struct member)MEMBER(struct thing, name))

START_TEST(a_member_is_read_as_what_it_was_declared)
{
    ck_assert_double_eq(member_number(OF(height_mm), &thing), 883.25);
    ck_assert_int_eq(member_integer(OF(below), &thing), -7);
    ck_assert_int_eq(member_integer(OF(far_below), &thing), -5000000000);
    ck_assert_int_eq(member_integer(OF(whole), &thing), 4000000000);
    ck_assert_int_eq(member_integer(OF(count), &thing), 9);
    ck_assert_int_eq(member_integer(OF(large), &thing), 6000000000);
    ck_assert(member_yes(OF(yes), &thing));
    ck_assert_str_eq(member_text(OF(name), &thing), "head");
    ck_assert_str_eq(member_text(OF(words), &thing), "a rider");
    ck_assert_str_eq(member_text(OF(none), &thing), "");
}
END_TEST

START_TEST(the_kind_follows_from_the_declaration)
{
    ck_assert_int_eq(OF(height_mm).kind, MEMBER_NUMBER);
    ck_assert_int_eq(OF(below).kind, MEMBER_SIGNED);
    ck_assert_int_eq(OF(far_below).kind, MEMBER_SIGNED);
    ck_assert_int_eq(OF(whole).kind, MEMBER_UNSIGNED);
    ck_assert_int_eq(OF(count).kind, MEMBER_UNSIGNED);
    ck_assert_int_eq(OF(large).kind, MEMBER_UNSIGNED);
    ck_assert_int_eq(OF(yes).kind, MEMBER_YES);
    ck_assert_int_eq(OF(name).kind, MEMBER_ARRAY);
    ck_assert_int_eq(OF(words).kind, MEMBER_TEXT);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("member");
    TCase *tests = tcase_create("member");
    tcase_add_test(tests, a_member_is_read_as_what_it_was_declared);
    tcase_add_test(tests, the_kind_follows_from_the_declaration);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
