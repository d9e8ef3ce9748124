/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/numbers.h"
#include "say/hold_quality.h"
#include "support/test_main.h"

#include <stdlib.h>
#include <string.h>

START_TEST(shares_are_of_the_readings_of_all_holds)
{
    struct session_record *record = calloc(1, sizeof *record);
    struct analysis *analysis = calloc(1, sizeof *analysis);
    char text[2 * SAY_SIZE];
    ck_assert(record != NULL && analysis != NULL);
    strcpy(analysis->channel_name[1], "chest");
    record->hold_count = 2;
    say_channel_quality(text, sizeof text, record, analysis, 1);
    ck_assert_str_eq(text, "");
    for (int hold = 0; hold < 3; hold++) { /* the third was taken back */
        struct hold_result *result = &analysis->hold[hold];
        result->has[1] = result->health.known = true;
        result->summary[1].readings = 500;
        result->summary[1].outliers = 20;
        result->health.channel[1].missing = 5;
        result->health.channel[1].doubtful = 10;
    }
    say_channel_quality(text, sizeof text, record, analysis, 1);
    ck_assert_str_eq(text,
                     "chest: of 1000 readings in all holds 10 (1.0 %) were missing, 20 (2.0 %) "
                     "doubtful, 40 (4.0 %) left out as outliers");
    free(record);
    free(analysis);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("channel quality");
    TCase *tests = tcase_create("channel quality");
    tcase_add_test(tests, shares_are_of_the_readings_of_all_holds);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
