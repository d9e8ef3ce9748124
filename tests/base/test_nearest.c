/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/nearest.h"
#include "support/test_main.h"

/* Counted by hand: a letter more, one less, another, two changed over. */
START_TEST(slips_are_counted)
{
    static const struct {
        const char *a, *b;
        int slips;
    } words[] = {{"", "", 0},         {"hold", "hold", 0},  {"hold", "hlod", 1},
                 {"hold", "hol", 1},  {"hold", "holds", 1}, {"hold", "bold", 1},
                 {"R-21", "R-12", 1}, {"R-7", "R-07", 1},   {"target", "tagert", 2},
                 {"", "undo", 4},     {"stop", "mark", 4}};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        ck_assert_msg(slips_between(words[i].a, words[i].b) == words[i].slips, "%s, %s: %d",
                      words[i].a, words[i].b, slips_between(words[i].a, words[i].b));
        ck_assert_int_eq(slips_between(words[i].b, words[i].a), words[i].slips);
    }
    ck_assert_int_eq(slips_between("a word that is much too long to be a command", "hold"), 24);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("nearest");
    TCase *tests = tcase_create("nearest");
    tcase_add_test(tests, slips_are_counted);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
