/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What a stream of plain numbers is: each threshold just below and just beside its number. */
#include "rig/decoding.h"

/* A steady range in mm between which another number comes four times: at which of them it is first
 * taken for no reading; 0 = never. */
static int no_reading_from(double range_mm, double other_mm)
{
    char text[400];
    size_t used = 0;
    for (int i = 0; i < 5; i++) { /* the range moves a little, the number never */
        used += (size_t)snprintf(text + used, sizeof text - used, "%.1f\n", range_mm + i % 3);
    }
    for (int i = 0; i < 4; i++) {
        used += (size_t)snprintf(text + used, sizeof text - used, "%.1f\n%.1f\n", other_mm,
                                 range_mm + i % 3);
    }
    struct decoded decoded = decode_text(text);
    int from = 0;
    ck_assert_msg(decoded.fine, "%s", decoded.problem.sentence);
    ck_assert_uint_eq(decoded.count, 13);
    for (int i = 0; i < 4; i++) {
        bool missing = decoded.sample[5 + 2 * i].quality[0] == READING_MISSING;
        from = from == 0 && missing ? i + 1 : from;
        ck_assert(from == 0 || missing);
        ck_assert_int_eq(decoded.sample[6 + 2 * i].quality[0], READING_GOOD);
    }
    decoded_free(&decoded);
    return from;
}

/* From 1500 mm on, and from the third time on. */
START_TEST(a_number_that_no_one_knows_as_a_code)
{
    ck_assert_int_eq(no_reading_from(400, 1510), 3);
    ck_assert_int_eq(no_reading_from(400, 1490), 0);
}
END_TEST

/* 500 mm from the ranges, also where these are long. */
START_TEST(a_code_lies_far_from_the_ranges)
{
    ck_assert_int_eq(no_reading_from(2000, 2515), 3);
    ck_assert_int_eq(no_reading_from(2000, 2485), 0);
    ck_assert_int_eq(no_reading_from(2000, 8000), 3);
}
END_TEST

static bool is_a_range(const char *line)
{
    char text[200] = "";
    for (int i = 0; i < 5; i++) {
        strncat(text, line, sizeof text - strlen(text) - 1);
    }
    struct decoded decoded = decode_text(text);
    bool fine = decoded.fine;
    ck_assert(fine || strstr(decoded.problem.sentence, "in mm no rider is there") != NULL);
    decoded_free(&decoded);
    return fine;
}

START_TEST(a_rider_is_between_60_mm_and_6_m)
{
    ck_assert(!is_a_range("59\n"));
    ck_assert(is_a_range("61\n"));
    ck_assert(is_a_range("5990\n"));
    ck_assert(!is_a_range("6010\n"));
}
END_TEST

static int channels_of(const char *text)
{
    struct decoded decoded = decode_text(text);
    ck_assert_msg(decoded.fine, "%s", decoded.problem.sentence);
    int count = decoded.info.channel_count;
    decoded_free(&decoded);
    return count;
}

/* Never further apart than 1.5 mm, or half a hundredth of the range. */
START_TEST(one_range_in_two_units)
{
    static const struct {
        const char *line;
        int channels;
    } cases[] = {{"a: 200 mm, b: 20.14 cm\n", 1},
                 {"a: 200 mm, b: 20.16 cm\n", 2},
                 {"a: 1000 mm, b: 100.48 cm\n", 1},
                 {"a: 1000 mm, b: 100.52 cm\n", 2}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char text[200];
        snprintf(text, sizeof text, "a: 210 mm, b: 21 cm\n%sa: 215 mm, b: 21.5 cm\n%s",
                 cases[i].line, cases[i].line);
        ck_assert_msg(channels_of(text) == cases[i].channels, "%s", text);
    }
}
END_TEST

/* Numbers nearer than a rider that move by 3 mm at most: a temperature, say. */
START_TEST(a_short_column_that_hardly_moves_is_no_range)
{
    ck_assert_int_eq(channels_of("400,30\n401,31\n402,32.9\n400,31\n401,30\n"), 1);
    ck_assert_int_eq(channels_of("400,30\n401,31\n402,33.1\n400,31\n401,30\n"), 2);
    ck_assert_int_eq(channels_of("400,58\n401,59.5\n402,58\n400,59.5\n401,59.5\n"), 1);
    ck_assert_int_eq(channels_of("400,60\n401,61.5\n402,60\n400,61.5\n401,61.5\n"), 2);
}
END_TEST

/* A second sensor that sees nobody for the first 20 lines: by its name it is one; where no name
 * tells, it is said that its column is left out. */
START_TEST(a_column_that_is_empty_at_first)
{
    static const struct {
        const char *heading, *cell;
        int channels, left_out_column;
    } cases[] = {{"time_s,head_mm,chest_mm", "", 2, 0},
                 {"time_s,head,chest", "", 1, 3},
                 {"time_s,head_mm,chest_mm", "n.a. today", 1, 0}, /* words: no sensor */
                 {"time_s,head_mm,temperature", "", 1, 0},        /* something else by its name */
                 {"time_s,head_mm,", "", 1, 0}};                  /* nothing at all */
    for (size_t k = 0; k < sizeof cases / sizeof cases[0]; k++) {
        char text[1000];
        size_t used = (size_t)snprintf(text, sizeof text, "%s\n", cases[k].heading);
        for (int i = 0; i < 40; i++) {
            char late[24];
            snprintf(late, sizeof late, "%d", 380 + i % 5);
            used += (size_t)snprintf(text + used, sizeof text - used, "%d.%02d,%d,%s\n", i / 50,
                                     i % 50 * 2, 300 + i % 7, i < 20 ? cases[k].cell : late);
        }
        struct decoded decoded = decode_text(text);
        ck_assert_msg(decoded.fine, "%s", decoded.problem.sentence);
        ck_assert_msg(decoded.info.channel_count == cases[k].channels, "%s", cases[k].heading);
        int left_out = 0;
        for (int n = 0; n < decoded.info.note_count; n++) {
            const struct wire_note *note = &decoded.info.note[n];
            left_out = note->kind == WIRE_LEFT_OUT_EMPTY ? note->column : left_out;
        }
        ck_assert_int_eq(left_out, cases[k].left_out_column);
        for (size_t i = 0; cases[k].channels == 2 && i < decoded.count; i++) {
            ck_assert_int_eq(decoded.sample[i].quality[1], i < 20 ? READING_MISSING : READING_GOOD);
        }
        decoded_free(&decoded);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("rules of plain numbers");
    TCase *tests = tcase_create("plain");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, a_number_that_no_one_knows_as_a_code);
    tcase_add_test(tests, a_code_lies_far_from_the_ranges);
    tcase_add_test(tests, a_rider_is_between_60_mm_and_6_m);
    tcase_add_test(tests, one_range_in_two_units);
    tcase_add_test(tests, a_short_column_that_hardly_moves_is_no_range);
    tcase_add_test(tests, a_column_that_is_empty_at_first);
    return test_main(suite);
}
