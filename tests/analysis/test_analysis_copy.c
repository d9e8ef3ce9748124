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

int main(void)
{
    Suite *suite = suite_create("analysis copy");
    TCase *tests = tcase_create("analysis copy");
    tcase_add_test(tests, a_full_record_is_copied_whole);
    tcase_add_test(tests, a_full_analysis_is_copied_whole);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
