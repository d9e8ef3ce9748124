/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What the gauge's page says while no reading comes. */
#include "rig/wire_look.h"
#include "say/wire.h"
#include "support/test_main.h"

#include <string.h>

static const char *said(const struct decoder_counts *counts, const char *bytes)
{
    static char text[800];
    struct wire_finding finding;
    memset(&finding, 0, sizeof finding);
    struct decoder_options options;
    memset(&options, 0, sizeof options);
    wire_look(bytes, strlen(bytes), &options, &finding);
    say_wire_live(text, sizeof text, &finding, 0, true, bytes, strlen(bytes), counts);
    return text;
}

START_TEST(what_came_is_counted_where_it_was_read)
{
    const char *bytes = "The club trains on Tuesdays.\nBring a towel.\nAnd two bottles.\n";
    struct decoder_counts counts = {.bytes = 61, .lines = 3};
    counts.rejected[REJECT_NOT_A_LINE] = 3;
    const char *text = said(&counts, bytes);
    ck_assert_msg(strstr(text,
                         " No readings in 61 bytes, 3 lines: 3 not a line of this dialect. It "
                         "sends The club trains on Tuesdays.\\nBri") != NULL,
                  "%s", text);
    /* while speeds are tried, nothing goes to the decoder: no 'in 0 bytes' */
    struct decoder_counts none = {0};
    text = said(&none, bytes);
    ck_assert_ptr_null(strstr(text, "No readings"));
    ck_assert_msg(strstr(text, ". It sends The club") != NULL, "%s", text);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("say wire");
    TCase *tests = tcase_create("say wire");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, what_came_is_counted_where_it_was_read);
    return test_main(suite);
}
