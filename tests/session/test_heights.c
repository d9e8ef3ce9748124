/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Heights are true whatever the sensors ride on: the short form of tests/study/heights.c, whose
 * table stands in docs/heights.md; and readings that come late change nothing but when they came.
 */
#include "bike/tie.h"
#include "support/height_study.h"
#include "support/session_drive.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define SEED 20260116
#define SESSIONS 20

/* Bars moved by 10 mm under a head that stays: reported within 1 mm. */
START_TEST(a_head_that_stays)
{
    const struct study_case *what = &study_cases[_i];
    struct study_result result;
    for (int k = 0; k < 2; k++) {
        study_session(what, SEED + (uint64_t)k, true, &result);
        ck_assert_double_lt(result.bars_mm, -9.0);
        ck_assert(result.judged);
        ck_assert_double_eq(result.true_difference_mm, 0.0);
        if (what->tie == STUDY_UNTIED) { /* what the check is good for: ranges alone get it wrong */
            ck_assert_double_gt(result.difference_mm, 8.0);
        } else {
            ck_assert_msg(fabs(result.difference_mm) <= 1.0, "%s: %.2f mm", what->words,
                          result.difference_mm);
            ck_assert(result.verdict != VERDICT_LOWER && result.verdict != VERDICT_HIGHER);
        }
    }
}
END_TEST

/* A head that follows by 60 %: 'higher' is the wrong sign. */
START_TEST(a_head_that_follows)
{
    const struct study_case *what = &study_cases[_i];
    struct study_tally tally = {0};
    for (int k = 0; k < SESSIONS; k++) {
        struct study_result result;
        study_session(what, SEED + 100 + (uint64_t)k, false, &result);
        study_count(&tally, &result);
        ck_assert_double_lt(result.true_difference_mm, -4.0);
    }
    ck_assert_int_eq(tally.not_judged, 0);
    if (what->tie == STUDY_UNTIED) {
        ck_assert_int_gt(tally.higher, SESSIONS / 20);
        return;
    }
    ck_assert_msg(tally.higher * 20 <= SESSIONS, "%s: %d of %d 'higher'", what->words, tally.higher,
                  SESSIONS);
    ck_assert_int_gt(tally.lower, 0);
    /* 95 % intervals: 14 or fewer of 20 would come once in 3,000 times */
    ck_assert_int_ge(tally.covered, 15);
    ck_assert_double_lt(fabs(tally.sum_mm), 4.0 * sqrt(tally.square_sum_mm));
}
END_TEST

static void holds(struct drive *drive)
{
    for (int i = 0; i < 2; i++) {
        drive_do(drive, "hold 30s free settle=0s");
        drive_finish(drive);
        drive_samples(drive, 50);
    }
}

/* Setup 1, setup 2 with the sensors 10 mm down, setup 1 again; typed plate readings at each build,
 * or all of them at the end. */
static void plates(struct drive *drive, bool late)
{
    static const char *const readings[] = {"plate head=300 chest=310 setup=1 build=1",
                                           "plate head=311 chest=319.5 setup=2 build=1",
                                           "plate head=299.5 chest=310.5 setup=1 build=2"};
    drive_start(drive, 5);
    drive_describe(drive);
    for (int i = 0; i < 3; i++) {
        drive_do(drive, i == 0   ? "setup 1 spacers=20 stem_length=100 stem_angle=-6"
                        : i == 1 ? "setup 2 spacers=10"
                                 : "setup 1");
        drive->sensor_mm[0] = i == 1 ? 630.0 : 640.0;
        if (!late) {
            drive_do(drive, readings[i]);
        }
        holds(drive);
    }
    for (int i = 0; late && i < 3; i++) {
        drive_do(drive, readings[i]);
    }
}

START_TEST(plates_read_late_give_the_same)
{
    struct drive early, late;
    plates(&early, false);
    plates(&late, true);
    const struct analysis *a = session_analysis(early.session), *b = session_analysis(late.session);
    const struct session_record *record = session_records(early.session);
    ck_assert_int_eq(record->hold_count, 6);
    for (int i = 0; i < record->build_count; i++) {
        for (int c = 0; c < 2; c++) {
            ck_assert_int_eq(a->tie[i][c].kind, b->tie[i][c].kind);
            ck_assert_double_eq(a->tie[i][c].sensor_height_mm, b->tie[i][c].sensor_height_mm);
            ck_assert_double_eq(a->tie[i][c].u_build_mm, b->tie[i][c].u_build_mm);
            ck_assert_double_eq(a->tie[i][c].u_common_mm, b->tie[i][c].u_common_mm);
        }
    }
    for (int h = 0; h < record->hold_count; h++) {
        for (int c = 0; c < 2; c++) {
            ck_assert_double_eq(a->hold[h].summary[c].mean_mm, b->hold[h].summary[c].mean_mm);
        }
    }
    for (int c = 0; c < 2; c++) {
        int setup = session_record_setup(record, 2);
        ck_assert_double_eq(a->free_heights[c].difference[setup].difference,
                            b->free_heights[c].difference[setup].difference);
        ck_assert_double_eq(a->free_heights[c].difference[setup].low,
                            b->free_heights[c].difference[setup].low);
        ck_assert_int_eq(a->tie[1][c].kind, TIE_PLATE);
    }
    drive_end(&early);
    drive_end(&late);
}
END_TEST

/* The page has a row for each tie that is tried here. */
START_TEST(the_table_is_of_these_ties)
{
    char page[20000] = "", wanted[80];
    FILE *file = fopen(source_path("docs/heights.md"), "r");
    ck_assert_ptr_nonnull(file);
    ck_assert_uint_gt(fread(page, 1, sizeof page - 1, file), 1000);
    fclose(file);
    for (int i = 0; i < study_case_count; i++) {
        snprintf(wanted, sizeof wanted, "| %s | ", study_cases[i].words);
        ck_assert_msg(strstr(page, wanted) != NULL, "docs/heights.md has no row '%s'", wanted);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("heights");
    TCase *tests = tcase_create("heights");
    tcase_set_timeout(tests, 120);
    tcase_add_loop_test(tests, a_head_that_stays, 0, study_case_count);
    tcase_add_loop_test(tests, a_head_that_follows, 0, study_case_count);
    tcase_add_test(tests, the_table_is_of_these_ties);
    tcase_add_test(tests, plates_read_late_give_the_same);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
