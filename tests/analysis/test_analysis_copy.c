/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A record or an analysis that is full is copied whole, byte for byte, whatever members it has. */
#include "analysis/analysis.h"
#include "base/random.h"
#include "support/test_main.h"

#include <stdlib.h>
#include <string.h>

static void fill(void *bytes, size_t size)
{
    struct random_source random;
    random_seed(&random, 7);
    for (size_t i = 0; i < size; i++) {
        ((unsigned char *)bytes)[i] = (unsigned char)random_u64(&random);
    }
}

static struct session_record *full_record(void)
{
    struct session_record *record = malloc(sizeof *record);
    ck_assert_ptr_nonnull(record);
    fill(record, sizeof *record);
    record->placing_count = PLACINGS_MAX;
    record->setup_count = SETUPS_MAX;
    record->build_count = BUILDS_MAX;
    record->tie_reading_count = TIES_MAX;
    record->capture_count = CAPTURES_MAX;
    record->target_count = TARGETS_MAX;
    record->band_count = BANDS_MAX;
    record->hold_count = HOLDS_MAX;
    record->mark_count = MARKS_MAX;
    record->rating_count = RATINGS_MAX;
    record->note_count = NOTES_MAX;
    record->check_count = CHECKS_MAX;
    record->air_count = AIRS_MAX;
    record->run_count = RUNS_MAX;
    record->leg_count = LEGS_MAX;
    return record;
}

START_TEST(a_full_record_is_copied_whole)
{
    struct session_record *from = full_record(), *to = calloc(1, sizeof *to);
    ck_assert_ptr_nonnull(to);
    session_record_copy(to, from);
    ck_assert(memcmp(to, from, sizeof *to) == 0);
    from->hold_count = 1;
    memset(to, 0, sizeof *to);
    session_record_copy(to, from);
    ck_assert(memcmp(&to->hold[0], &from->hold[0], sizeof to->hold[0]) == 0);
    ck_assert_int_eq(to->hold[1].number, 0);
    ck_assert(memcmp(to->mark, from->mark, sizeof to->mark) == 0);
    free(to);
    free(from);
}
END_TEST

START_TEST(a_full_analysis_is_copied_whole)
{
    struct session_record *record = full_record();
    struct analysis *from = malloc(sizeof *from), *to = calloc(1, sizeof *to);
    ck_assert(from != NULL && to != NULL);
    fill(from, sizeof *from);
    from->channel_count = CHANNELS_MAX;
    analysis_copy(to, from, record);
    ck_assert(memcmp(to, from, sizeof *to) == 0);
    free(to);
    free(from);
    free(record);
}
END_TEST

/* What is not there yet is not copied: that is what makes it fast. */
START_TEST(of_an_analysis_only_what_is_there_is_copied)
{
    static const struct tie no_tie;
    static const struct hold_result no_hold;
    static const struct comparison no_comparison;
    struct session_record *record = full_record();
    struct analysis *from = malloc(sizeof *from), *to = calloc(1, sizeof *to);
    ck_assert(from != NULL && to != NULL);
    fill(from, sizeof *from);
    record->build_count = record->target_count = record->hold_count = from->channel_count = 1;
    analysis_copy(to, from, record);
    ck_assert(memcmp(to->tie[0], from->tie[0], sizeof to->tie[0]) == 0);
    ck_assert(memcmp(&to->tie[1][0], &no_tie, sizeof no_tie) == 0);
    ck_assert(memcmp(to->target[0], from->target[0], sizeof to->target[0]) == 0);
    ck_assert(!to->target[1][0].has);
    ck_assert(memcmp(&to->hold[0], &from->hold[0], sizeof to->hold[0]) == 0);
    ck_assert(memcmp(&to->hold[1], &no_hold, sizeof no_hold) == 0);
    ck_assert(memcmp(&to->free_heights[0], &from->free_heights[0], sizeof no_comparison) == 0);
    ck_assert(memcmp(&to->free_heights[1], &no_comparison, sizeof no_comparison) == 0);
    ck_assert(memcmp(&to->guided_in_band[0], &from->guided_in_band[0], sizeof no_comparison) == 0);
    ck_assert(memcmp(&to->guided_in_band[1], &no_comparison, sizeof no_comparison) == 0);
    free(to);
    free(from);
    free(record);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("analysis copy");
    TCase *tests = tcase_create("analysis copy");
    tcase_add_test(tests, a_full_record_is_copied_whole);
    tcase_add_test(tests, a_full_analysis_is_copied_whole);
    tcase_add_test(tests, of_an_analysis_only_what_is_there_is_copied);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
