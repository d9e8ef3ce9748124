/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Drag beside height: from four setups on a slope, and which of them are points. */
#include "analysis/drag_height.h"
#include "support/test_main.h"

#include <stdlib.h>

static struct session_record *record;
static struct analysis *analysis;

/* 10 mm and 0.004 m2 from setup to setup, each known as well as the others. */
static void begin(void)
{
    record = malloc(sizeof *record);
    analysis = calloc(1, sizeof *analysis);
    ck_assert(record != NULL && analysis != NULL);
    session_record_clear(record);
    record->setup_count = 5;
    analysis->free_heights[0].status = MEASURE_OK;
    analysis->free_heights[0].setup_count = 5;
    analysis->drag.compare.setup_count = 5;
    for (int s = 0; s < 5; s++) {
        record->setup[s].number = s + 1;
        struct setup_estimate *height = &analysis->free_heights[0].setup[s];
        struct setup_estimate *drag = &analysis->drag.compare.setup[s];
        height->has_interval = drag->has_interval = height->tied = true;
        height->mean = 900.0 + 10.0 * s;
        height->standard_error = 1.0;
        drag->mean = 0.250 + 0.004 * s;
        drag->standard_error = 0.001;
        analysis->free_heights[0].difference[s] = (struct setup_difference){.difference = 10.0 * s,
                                                                            .has_interval = s > 0,
                                                                            .low = 10.0 * s - 3.0,
                                                                            .high = 10.0 * s + 3.0};
        analysis->drag.compare.difference[s] = (struct setup_difference){.difference = 0.004 * s,
                                                                         .has_interval = s > 0,
                                                                         .low = 0.004 * s - 0.002,
                                                                         .high = 0.004 * s + 0.002};
    }
}

static void end(void)
{
    free(record);
    free(analysis);
}

static struct drag_height made(void)
{
    struct drag_height height;
    drag_height_make(record, analysis, 0, &height);
    return height;
}

START_TEST(a_slope_takes_four_setups)
{
    struct drag_height height = made();
    ck_assert(height.has_slope);
    ck_assert_int_eq(height.slope_setups, 5);
    ck_assert_double_eq_tol(height.line.slope, 0.0004, 1e-9);
    analysis->free_heights[0].setup[5] = analysis->free_heights[0].setup[0]; /* of no setup */
    analysis->drag.compare.setup[5] = analysis->drag.compare.setup[0];
    ck_assert_int_eq(made().slope_setups, 5);
    analysis->free_heights[0].setup[1].tied = false;
    height = made();
    ck_assert(height.has_slope);
    ck_assert_int_eq(height.slope_setups, 4);
    ck_assert_double_eq_tol(height.line.slope, 0.0004, 1e-9);
    analysis->drag.compare.setup[2].has_interval = false;
    height = made();
    ck_assert(!height.has_slope);
    ck_assert_int_eq(height.slope_setups, 3);
    analysis->free_heights[0].setup[1].tied = true;
    for (int s = 0; s < record->setup_count; s++) {
        analysis->free_heights[0].setup[s].mean =
            900.0; /* no height differs: no line goes through */
    }
    height = made();
    ck_assert(!height.has_slope);
    ck_assert_int_eq(height.slope_setups, 4);
}
END_TEST

START_TEST(a_point_has_both_differences)
{
    struct drag_height height = made();
    ck_assert_int_eq(height.count, 4);
    ck_assert_int_eq(height.point[0].setup, 1);
    ck_assert_double_eq(height.point[3].height_mm, 40.0);
    ck_assert_double_eq(height.point[3].height_low_mm, 37.0);
    ck_assert_double_eq(height.point[3].height_high_mm, 43.0);
    ck_assert_double_eq_tol(height.point[3].drag_m2, 0.016, 1e-12);
    ck_assert_double_eq_tol(height.point[3].drag_low_m2, 0.014, 1e-12);
    ck_assert_double_eq_tol(height.point[3].drag_high_m2, 0.018, 1e-12);
    analysis->drag.compare.difference[2].has_interval = false;
    height = made();
    ck_assert_int_eq(height.count, 3);
    ck_assert_int_eq(height.point[1].setup, 3);
}
END_TEST

START_TEST(what_is_withheld_has_no_points)
{
    analysis->drag.withheld = DRAG_WITHHELD_WIND;
    struct drag_height height = made();
    ck_assert_int_eq(height.count, 0);
    ck_assert(!height.has_slope);
    analysis->drag.withheld = DRAG_WITHHELD_NOT;
    analysis->drag.compare.setup_count = 4; /* drag has not seen the last setup yet */
    height = made();
    ck_assert_int_eq(height.count, 0);
    ck_assert(!height.has_slope);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("drag_height");
    TCase *tests = tcase_create("drag_height");
    tcase_add_checked_fixture(tests, begin, end);
    tcase_add_test(tests, a_slope_takes_four_setups);
    tcase_add_test(tests, a_point_has_both_differences);
    tcase_add_test(tests, what_is_withheld_has_no_points);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
