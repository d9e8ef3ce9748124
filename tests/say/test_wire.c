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

/* What was made of the lines: of which column or sensor, with which value, in words. */
START_TEST(each_note_names_its_column_and_value)
{
    static const struct rig_info info = {.channel_count = 2, .channel_name = {"head", "chest"}};
    static const struct {
        struct wire_note note;
        const char *words;
    } cases[] = {
        {{.kind = WIRE_KEYED, .value_milli = 3000},
         "one sensor a line: told apart by label, 3 of them"},
        {{.kind = WIRE_LEFT_OUT_COUNTER, .column = 2}, "column 2 counts the lines: left out"},
        {{.kind = WIRE_LEFT_OUT_STILL, .column = 4, .name = "temp", .value_milli = 21500},
         "'temp' is always 21.5: left out"},
        {{.kind = WIRE_CODE, .channel = 1, .value_milli = 8190000, .count = 7},
         "chest: 8190 means that nothing came back (came 7 times)"},
        {{.kind = WIRE_NEGATIVE, .channel = 2},
         "a channel: numbers below 0 mean that nothing came back"},
        {{.kind = 255}, ""},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char text[400];
        say_wire_note(text, sizeof text, &cases[i].note, &info);
        ck_assert_str_eq(text, cases[i].words);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("say wire");
    TCase *tests = tcase_create("say wire");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, what_came_is_counted_where_it_was_read);
    tcase_add_test(tests, each_note_names_its_column_and_value);
    return test_main(suite);
}
