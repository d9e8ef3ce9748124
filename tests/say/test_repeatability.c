/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "record/record.h"
#include "say/repeatability.h"
#include "say/say.h"
#include "support/test_main.h"

#include <string.h>

START_TEST(what_has_a_say_is_named)
{
    ck_assert_str_eq(say_learnt_from(LEARNT_FROM_ALL),
                     "repeatability: this session's holds, this rider's earlier sessions and the "
                     "store's other riders");
    ck_assert_str_eq(say_learnt_from(LEARNT_FROM_RIDER),
                     "repeatability: this session's holds and this rider's earlier sessions");
    ck_assert_str_eq(say_learnt_from(LEARNT_FROM_STORE),
                     "repeatability: this session's holds and the store's other riders");
    ck_assert_str_eq(say_learnt_from(LEARNT_FROM_NONE),
                     "repeatability: this session's holds alone");
}
END_TEST

/* What each has a say by is counted in holds, with whose sessions they are. */
START_TEST(what_was_learnt_is_told_with_whose_it_is)
{
    static struct session_record record;
    struct comparison comparison = {.repeatability = 3.44, .repeatability_here_df = 4.0};
    struct learnt_repeatability *learnt = &record.settings.learnt[1];
    char text[SAY_SIZE];
    session_record_clear(&record);
    say_learnt(text, sizeof text, &record, 1, &comparison);
    ck_assert_str_eq(text, "");
    comparison.repeatability_learnt_df = 12.0;
    *learnt = (struct learnt_repeatability){
        .rider_df = 6.0, .rider_sessions = 1, .store_df = 5.5, .store_sessions = 3};
    say_learnt(text, sizeof text, &record, 1, &comparison);
    ck_assert_str_eq(text, "SD 3.4 mm: this session's holds count 4, the rider's 1 earlier session "
                           "6.0, 3 sessions of the store's other riders 5.5");
    record.has_rider = true; /* without a code */
    learnt->store_df = 0.0;
    learnt->rider_sessions = 2;
    say_learnt(text, sizeof text, &record, 1, &comparison);
    ck_assert_str_eq(text, "SD 3.4 mm: this session's holds count 4, the rider's 2 earlier "
                           "sessions 6.0");
    strcpy(record.rider.code, "R-07");
    say_learnt(text, sizeof text, &record, 1, &comparison);
    ck_assert_ptr_nonnull(strstr(text, ", R-07's 2 earlier sessions 6.0"));
    learnt->store_df = 5.5;
    record.settings.learnt_from = LEARNT_FROM_STORE;
    say_learnt(text, sizeof text, &record, 1, &comparison);
    ck_assert_str_eq(text, "SD 3.4 mm: this session's holds count 4, 3 sessions of the store's "
                           "other riders 5.5");
    record.settings.learnt_from = LEARNT_FROM_RIDER;
    learnt->rider_df = 0.0;
    say_learnt(text, sizeof text, &record, 1, &comparison);
    ck_assert_str_eq(text, "SD 3.4 mm: this session's holds count 4");
}
END_TEST

/* Setups whose holds differ more than the others', and where that can't be seen. */
START_TEST(setups_with_a_spread_of_their_own)
{
    static struct session_record record;
    static struct comparison comparison;
    char text[2 * SAY_SIZE];
    session_record_clear(&record);
    comparison.setup_count = 3;
    comparison.repeatability = 2.5;
    for (int s = 0; s < 4; s++) { /* the last one is not compared */
        record.setup[s].number = s + 1;
        comparison.setup[s].own_spread = s > 0;
        comparison.setup[s].spread = 5.0 + s;
    }
    say_own_spread(text, sizeof text, &record, &comparison);
    ck_assert_str_eq(text,
                     "holds of setup 2 differ from each other more than the others' (SD 6.0 mm, "
                     "all together 2.5): its limits are from its own holds; holds of setup 3 "
                     "differ from each other more than the others' (SD 7.0 mm, all together 2.5): "
                     "its limits are from its own holds");
    say_spread_unseen(text, sizeof text, &comparison);
    ck_assert_str_eq(text, "");
    comparison.compared = 2;
    say_spread_unseen(text, sizeof text, &comparison);
    ck_assert_ptr_eq(strstr(text, "With fewer than "), text);
    comparison.spread_seen = true;
    say_spread_unseen(text, sizeof text, &comparison);
    ck_assert_str_eq(text, "");
}
END_TEST

START_TEST(a_number_that_is_not_in_the_middle_of_its_interval)
{
    static struct session_record record;
    static struct comparison comparison;
    char text[2 * SAY_SIZE];
    session_record_clear(&record);
    comparison.setup_count = 3;
    for (int s = 0; s < 3; s++) {
        record.setup[s].number = s + 1;
        comparison.difference[s] = (struct setup_difference){
            .has_interval = s > 0, .difference = -19.0, .low = -61.0, .high = 23.0};
    }
    say_reaches_on(text, sizeof text, &record, &comparison);
    ck_assert_str_eq(text, "");
    comparison.difference[1].high = 40.0;
    say_reaches_on(text, sizeof text, &record, &comparison);
    ck_assert_str_eq(text,
                     "setup 2: a part of the difference may have come with time, not with the "
                     "setup; the interval reaches to what is then left, so the number is not "
                     "in its middle");
    comparison.difference[2].low = -62.0;
    say_reaches_on(text, sizeof text, &record, &comparison);
    ck_assert_ptr_eq(strstr(text, "setups 2 and 3: "), text);
    comparison.shares = true; /* near 0 and 1 they are not, either */
    say_reaches_on(text, sizeof text, &record, &comparison);
    ck_assert_str_eq(text, "");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("repeatability");
    TCase *tests = tcase_create("repeatability");
    tcase_add_test(tests, what_has_a_say_is_named);
    tcase_add_test(tests, what_was_learnt_is_told_with_whose_it_is);
    tcase_add_test(tests, setups_with_a_spread_of_their_own);
    tcase_add_test(tests, a_number_that_is_not_in_the_middle_of_its_interval);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
