/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What sessions that are taken in one after the other leave behind: the board on the pads. */
#include "support/test_main.h"

#include "analysis/learning.h"

#include <stdio.h>
#include <stdlib.h>

/* A session in which the board was read so often on the head's sensor. */
static void take(struct learning *learning, int count, const double *range_mm, double height_mm)
{
    static int64_t id;
    struct session_record *record = calloc(1, sizeof *record);
    struct analysis *analysis = analysis_create();
    ck_assert(record != NULL && analysis != NULL);
    session_record_clear(record);
    record->build_count = record->placing_count = 1;
    record->placing[0].channel_count = 1;
    snprintf(record->placing[0].channel[0].name, CHANNEL_NAME_SIZE, "head");
    record->tie_reading_count = count;
    for (int i = 0; i < count; i++) {
        record->tie_reading[i] = (struct tie_reading_record){
            .rest = REST_PADS, .value_mm = range_mm[i], .plate_height_mm = height_mm - 1 + i};
    }
    learning_take(learning, ++id, record, analysis);
    analysis_destroy(analysis);
    free(record);
}

/* 25 mm off and less it is the first day's; further it begins again, with what was read last: a
 * board that lay askew at first is no day's. */
START_TEST(the_first_days_board)
{
    static const double first[] = {412.5}, near[] = {437.0}, askew[] = {440.0, 415.0};
    static const double anew[] = {460.0, 438.0};
    struct learning *learning = malloc(sizeof *learning);
    ck_assert_ptr_nonnull(learning);
    learning_begin(learning);
    ck_assert_int_eq(learning->board_count, 0);
    take(learning, 1, first, 931);
    ck_assert_int_eq(learning->board_count, 1);
    ck_assert_str_eq(learning->board_channel[0], "head");
    ck_assert_double_eq(learning->board_range_mm[0], 412.5);
    ck_assert_double_eq(learning->board_mm, 930);
    take(learning, 1, near, 931);
    ck_assert_double_eq(learning->board_range_mm[0], 412.5);
    take(learning, 2, askew, 931);
    ck_assert_double_eq(learning->board_range_mm[0], 412.5);
    ck_assert_double_eq(learning->board_mm, 931); /* as it was said last */
    take(learning, 2, anew, 931);
    ck_assert_double_eq(learning->board_range_mm[0], 438.0);
    ck_assert_int_eq(learning->board_count, 1);
    free(learning);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("learning");
    TCase *tests = tcase_create("learning");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, the_first_days_board);
    return test_main(suite);
}
