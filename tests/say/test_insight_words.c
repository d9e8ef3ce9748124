/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis/analysis.h"
#include "say/insight_words.h"
#include "support/test_main.h"

#include <stdlib.h>
#include <string.h>

START_TEST(all_that_setups_are_weighed_by_is_named)
{
    struct analysis *analysis = calloc(1, sizeof *analysis);
    char text[256];
    ck_assert_ptr_nonnull(analysis);
    insight_criteria(analysis, text, sizeof text);
    ck_assert_str_eq(text, "");
    analysis->channel_count = 2;
    for (int c = 0; c < 2; c++) {
        analysis->body[c] = true;
        strcpy(analysis->channel_name[c], c == 0 ? "head" : "chest");
    }
    for (int k = 0; k < TRADEOFF_CRITERIA; k++) {
        analysis->insight.criterion[k] = true;
    }
    insight_criteria(analysis, text, sizeof text);
    ck_assert_str_eq(text, "height of head and chest, steadiness, creep, time in band, the worst "
                           "discomfort, effort");
    free(analysis);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("insight words");
    TCase *tests = tcase_create("insight words");
    tcase_add_test(tests, all_that_setups_are_weighed_by_is_named);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
