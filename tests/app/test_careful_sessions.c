/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Scripts of sessions/ on which something sure and wrong was once said: what is said now. */
#include "support/program.h"
#include "support/test_main.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static char *said_of(const char *script)
{
    static char sessions[512];
    snprintf(sessions, sizeof sessions, "%s", source_path("sessions"));
    struct program_result result =
        program_run(sessions, NULL, (const char *const[]){"run", "--no-store", script, NULL});
    ck_assert_msg(result.status == 0, "%s: exit status %d: %s", script, result.status,
                  result.errors);
    char *text = strdup(result.output);
    program_free(&result);
    return text;
}

static void must_have(const char *text, const char *words)
{
    ck_assert_msg(strstr(text, words) != NULL, "'%s' is not in\n%.4000s", words, text);
}

static void must_lack(const char *text, const char *words)
{
    ck_assert_msg(strstr(text, words) == NULL, "'%s' is in\n%.4000s", words, text);
}

/* Truth (make_recordings.c): the sensors come down by 19.1 mm, the rider by half of that, so that
 * the ranges grow. 'head higher by 14' was said. */
START_TEST(names_alone_tie_nothing)
{
    char *text = said_of("names-only.session");
    char *second = strstr(strstr(text, "What the setups show") + 1, "What the setups show");
    ck_assert_ptr_nonnull(second);
    must_have(second, "head lower by ");
    must_lack(second, "higher by");
    second[0] = '\0'; /* before anybody said that the sensors moved */
    must_have(text, "head: not comparable");
    must_have(text, "chest: not comparable");
    must_have(text, "ranges, no heights, since nobody said where the sensor is fixed");
    must_lack(text, "lower by");
    must_lack(text, "higher by");
    free(text);
}
END_TEST

/* One and the same stream on each. Of three such setups one was 'better in some' in 42 of 100
 * sessions. */
START_TEST(of_three_equal_none_is_better)
{
    char *text = said_of("three-equal.session");
    must_have(text, "Setups 1, 2 and 3: no other setup is shown to beat them.");
    must_have(text, "Which of them is best in what is too close to say.");
    must_lack(text, "lower by");
    must_lack(text, "higher by");
    must_lack(text, "best in ste");
    free(text);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("careful sessions");
    TCase *tests = tcase_create("careful sessions");
    tcase_set_timeout(tests, 60);
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, names_alone_tie_nothing);
    tcase_add_test(tests, of_three_equal_none_is_better);
    return test_main(suite);
}
