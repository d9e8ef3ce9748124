/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/phrase.h"
#include "support/test_main.h"

#include <stddef.h>

/* What has no value stands there as it is, so that it is seen; so does a brace without an end. */
START_TEST(values_stand_in_the_place_of_their_names)
{
    static const struct phrase_value values[] = {{"n", "3"}, {"name", "head"}, {NULL, NULL}};
    static const struct {
        const char *phrase, *text;
    } cases[] = {{"{n} of {name}", "3 of head"},
                 {"plain", "plain"},
                 {"", ""},
                 {"{nam} and {m}", "{nam} and {m}"},
                 {"{n}{n}", "33"}};
    char text[64];
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        phrase_fill(text, sizeof text, cases[i].phrase, values);
        ck_assert_str_eq(text, cases[i].text);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("phrase");
    TCase *tests = tcase_create("phrase");
    tcase_add_test(tests, values_stand_in_the_place_of_their_names);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
