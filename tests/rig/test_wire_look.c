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

/* UTF-16 in either order of bytes, from anywhere in it; a nought in the place of every tenth
 * letter, and of more of them. */
START_TEST(letters_of_two_bytes)
{
    static const char text[] = "412.5,300.1\r\n413.0,299.8\r\n412.9,300.4\r\n";
    for (int turn = 0; turn < 40; turn++) {
        size_t high = (size_t)turn % 2, from = (size_t)turn / 2 % 2, lost = (size_t)turn / 4;
        char bytes[2 * sizeof text] = {0};
        struct wire_finding finding;
        for (size_t i = 0; text[i] != '\0'; i++) {
            bytes[2 * i + high] = i % 10 < lost ? '\0' : text[i];
        }
        wire_look(bytes + from, 2 * (sizeof text - 1) - from, NULL, &finding);
        ck_assert_msg(lost == 1 || (finding.cause == WIRE_TWO_BYTES) == (lost == 0), "%d: %d", turn,
                      finding.cause);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("wire look");
    TCase *tests = tcase_create("wire look");
    tcase_add_test(tests, five_pairs_of_figures_are_a_frame_written_out);
    tcase_add_test(tests, nine_lines_of_ten_are_enough);
    tcase_add_test(tests, a_line_of_four_with_tags_is_markup);
    tcase_add_test(tests, letters_of_two_bytes);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
