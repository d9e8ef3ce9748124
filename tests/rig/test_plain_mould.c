/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/decoding.h"
#include "support/test_main.h"

#include <stdio.h>
#include <string.h>

/* A line is read by the mould of the one before it only where taking it apart gives the same: each
 * of these comes once behind lines with the same text and once behind one with another, which
 * leaves no mould that fits. */
static const char *const lines[] = {
    "d:412 mm s:3",      "d:-412 mm s:3",     "d:+412 mm s:3",
    "d:412.5 mm s:3",    "d:412. mm s:3",     "d:.5 mm s:3",
    "d:412e1 mm s:3",    "d:412e mm s:3",     "d:0 mm s:3",
    "d:nan mm s:3",      "d:timeout s:3",     "d:1.0.2 mm s:3",
    "d:12:02:03 mm s:3", "d:2026-01-10 s:3",  "d:412mm s:3",
    "d:412 cm s:3",      "d:412 mm s:3x",     "d:412 mm s:",
    "d:412 mm s:3 4",    "d:412 mm",          "d:412 mm s:3 ",
    "d:0x19c mm s:3",    "d:412  mm s:3",     "d:99999999999999999999 mm s:3",
    "d:412,5 mm s:3",    "d:000412 mm s:003", "412",
    "d:412 mm s:3 t:5",  "d:999999 mm s:3",   "",
    "d: mm s:3",         "d:4 12 mm s:3",
};

static struct decoded behind(const char *before, const char *line)
{
    char stream[2000];
    size_t length = 0;
    for (int i = 0; i < 6; i++) {
        length += (size_t)snprintf(stream + length, sizeof stream - length, "d:41%d mm s:3\n", i);
    }
    snprintf(stream + length, sizeof stream - length, "%s\n%s\n", before, line);
    return decode_text(stream);
}

START_TEST(a_line_is_read_alike_with_and_without_a_mould)
{
    struct decoded same = behind("d:417 mm s:4", lines[_i]);
    struct decoded other = behind("D: 417 mm s:4", lines[_i]);
    ck_assert_msg(same.fine && other.fine, "%s", lines[_i]);
    ck_assert_uint_ge(same.count, 7);
    ck_assert_msg(same.count == other.count, "%s", lines[_i]);
    for (int i = 0; i < REJECT_REASONS; i++) {
        ck_assert_msg(same.counts.rejected[i] == other.counts.rejected[i], "%s: %s", lines[_i],
                      reject_reason_text((enum reject_reason)i));
    }
    ck_assert_uint_eq(same.counts.skipped, other.counts.skipped);
    const struct raw_sample *one = &same.sample[same.count - 1];
    const struct raw_sample *two = &other.sample[other.count - 1];
    ck_assert_msg(memcmp(one->range_tenth_mm, two->range_tenth_mm, sizeof one->range_tenth_mm) == 0,
                  "%s", lines[_i]);
    ck_assert_mem_eq(one->quality, two->quality, sizeof one->quality);
    decoded_free(&same);
    decoded_free(&other);
}
END_TEST

/* What stands there, worked out by hand. */
START_TEST(other_figures_in_the_same_text_are_read)
{
    struct decoded decoded = behind("d:417.25 mm s:4", "d:9 mm s:12345");
    ck_assert_uint_eq(decoded.count, 8);
    ck_assert_int_eq(decoded.sample[5].range_tenth_mm[0], 4150);
    ck_assert_int_eq(decoded.sample[6].range_tenth_mm[0], 4173);
    ck_assert_int_eq(decoded.sample[7].range_tenth_mm[0], 90);
    decoded_free(&decoded);
}
END_TEST

/* Fewer figures make a time or a date of what were several numbers. */
START_TEST(figures_that_become_a_time_are_no_numbers)
{
    static const char *const before[] = {"v 1000:22:33 x 5\n", "n 12345-10-11 k 5\n"};
    static const char *const then[] = {"v 100:22:33 x 5\n", "n 2026-10-11 k 5\n"};
    for (int k = 0; k < 2; k++) {
        char stream[600] = "";
        for (int i = 0; i < 12; i++) {
            strcat(stream, before[k]);
        }
        strcat(stream, then[k]);
        const struct decoder_options options = {.columns = "1"};
        struct decoded decoded = decode_with(stream, &options);
        ck_assert(decoded.fine);
        ck_assert_uint_eq(decoded.count, 12);
        ck_assert_uint_eq(decoded.counts.rejected[REJECT_FIELD_COUNT], 1);
        decoded_free(&decoded);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("plain mould");
    TCase *one = tcase_create("plain mould");
    tcase_add_loop_test(one, a_line_is_read_alike_with_and_without_a_mould, 0,
                        (int)(sizeof lines / sizeof lines[0]));
    tcase_add_test(one, other_figures_in_the_same_text_are_read);
    tcase_add_test(one, figures_that_become_a_time_are_no_numbers);
    suite_add_tcase(suite, one);
    return test_main(suite);
}
