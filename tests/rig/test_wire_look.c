/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What lines are of which no readings come; whole recordings: test_wire_doctor. */
#include "rig/wire_look.h"

#include "support/test_main.h"

#define LINES 20

/* So many lines like the first pattern, then as the other; '*' is another figure in each line. */
static enum wire_cause cause_of(const char *pattern, int count, const char *other)
{
    char bytes[LINES * 64];
    struct wire_finding finding;
    size_t used = 0;
    for (int i = 0; i < LINES; i++) {
        for (const char *at = i < count ? pattern : other; *at != '\0'; at++) {
            bytes[used++] = *at == '*' ? "0123456789ABCDEF"[i % 16] : *at;
        }
        bytes[used++] = '\n';
    }
    wire_look(bytes, used, NULL, &finding);
    return finding.cause;
}

START_TEST(five_pairs_of_figures_are_a_frame_written_out)
{
    ck_assert_int_eq(cause_of("59 59 A* 01 B*", LINES, ""), WIRE_BYTES_IN_FIGURES);
    ck_assert_int_eq(cause_of("59:59:a*:01:b*:d4", LINES, ""), WIRE_BYTES_IN_FIGURES);
    ck_assert_int_eq(cause_of("59 59 A* B*", LINES, ""), WIRE_UNMARKED_HEXADECIMAL);
    ck_assert_int_eq(cause_of("59 59 A* 01 1B*", LINES, ""), WIRE_UNMARKED_HEXADECIMAL);
}
END_TEST

START_TEST(nine_lines_of_ten_are_enough)
{
    static const char frame[] = "59 59 A* 01 B*", cut[] = "59 59 A* B*";
    ck_assert_int_eq(cause_of(frame, 18, cut), WIRE_BYTES_IN_FIGURES);
    ck_assert_int_eq(cause_of(frame, 17, cut), WIRE_UNMARKED_HEXADECIMAL);
}
END_TEST

START_TEST(a_line_of_four_with_tags_is_markup)
{
    static const char tags[] = "<p>1* 2*</p>", words[] = "now * and * of it are here";
    ck_assert_int_eq(cause_of(tags, 5, words), WIRE_MARKUP);
    ck_assert_int_ne(cause_of(tags, 4, words), WIRE_MARKUP);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("wire look");
    TCase *tests = tcase_create("wire look");
    tcase_add_test(tests, five_pairs_of_figures_are_a_frame_written_out);
    tcase_add_test(tests, nine_lines_of_ten_are_enough);
    tcase_add_test(tests, a_line_of_four_with_tags_is_markup);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
