/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What of a person goes along in a file. */
#include "say/carried.h"

#include "base/numbers.h"
#include "support/test_main.h"

#include <stdlib.h>
#include <string.h>

START_TEST(each_thing_is_named_and_found)
{
    static const struct {
        unsigned carries;
        const char *words;
    } said[] = {
        {CARRIES_CODE, "carries of the rider: code"},
        {CARRIES_NAME, "carries of the rider: name"},
        {CARRIES_WATCH_FOR, "carries of the rider: old trouble to watch for"},
        {CARRIES_NOTES, "carries of the rider: notes"},
        {CARRIES_REASONS, "carries of the rider: why holds were left out"},
        {CARRIES_RATINGS, "carries of the rider: ratings"},
        {CARRIES_ALL, "carries of the rider: code, name, old trouble to watch for, notes, why "
                      "holds were left out, ratings"},
        {0, ""},
    };
    for (size_t i = 0; i < sizeof said / sizeof said[0]; i++) {
        char text[SAY_SIZE];
        ck_assert_int_eq(say_carried(text, sizeof text, said[i].carries), said[i].carries != 0);
        ck_assert_str_eq(text, said[i].words);
    }
}
END_TEST

/* One after the other, each alone and then all. */
START_TEST(what_is_there_is_found)
{
    struct session_record *record = calloc(1, sizeof *record);
    ck_assert_ptr_nonnull(record);
    ck_assert_uint_eq(carried_there(record), 0);
    record->note_count = 1;
    ck_assert_uint_eq(carried_there(record), CARRIES_NOTES);
    record->note_count = 0;
    record->rating_count = 1;
    ck_assert_uint_eq(carried_there(record), CARRIES_RATINGS);
    record->rating_count = 0;
    strcpy(record->hold[0].reject_reason, "slid forward");
    record->hold_count = 1;
    ck_assert_uint_eq(carried_there(record), CARRIES_REASONS);
    record->hold_count = 0; /* it was taken back */
    strcpy(record->rider.code, "R-07");
    ck_assert_uint_eq(carried_there(record), 0); /* as long as there is no rider */
    record->has_rider = true;
    ck_assert_uint_eq(carried_there(record), CARRIES_CODE);
    record->rider.code[0] = '\0';
    strcpy(record->rider.name, "somebody");
    ck_assert_uint_eq(carried_there(record), CARRIES_NAME);
    record->rider.name[0] = '\0';
    strcpy(record->rider.watch_for, "left knee");
    ck_assert_uint_eq(carried_there(record), CARRIES_WATCH_FOR);
    strcpy(record->rider.code, "R-07");
    strcpy(record->rider.name, "somebody");
    record->hold_count = record->note_count = record->rating_count = 1;
    ck_assert_uint_eq(carried_there(record), CARRIES_ALL);
    free(record);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("carried");
    TCase *tests = tcase_create("carried");
    tcase_add_test(tests, each_thing_is_named_and_found);
    tcase_add_test(tests, what_is_there_is_found);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
