/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Of each array of a record only what is there is copied, and a record that begins has none of it.
 */
#include "record/record.h"

#include "support/test_main.h"

#include <stddef.h>
#include <stdlib.h>
#include <string.h>

#define ARRAY(member)                                                                              \
    {                                                                                              \
#member, offsetof(struct session_record, member),                                          \
            sizeof((struct session_record *)0)                                                     \
                ->member[0], offsetof(struct session_record, member##_count)                       \
    }
static const struct {
    const char *name;
    size_t offset, size, count;
} arrays[] = {
    ARRAY(placing), ARRAY(setup), ARRAY(build), ARRAY(tie_reading), ARRAY(capture),
    ARRAY(target),  ARRAY(band),  ARRAY(hold),  ARRAY(mark),        ARRAY(rating),
    ARRAY(note),    ARRAY(check), ARRAY(air),   ARRAY(run),         ARRAY(leg),
};
enum { ARRAYS = sizeof arrays / sizeof arrays[0] };

static void set_count(struct session_record *record, int array, int count)
{
    memcpy((char *)record + arrays[array].count, &count, sizeof count);
}

static bool all_are(const struct session_record *record, size_t offset, size_t size, char byte)
{
    for (size_t i = 0; i < size; i++) {
        if (((const char *)record)[offset + i] != byte) {
            return false;
        }
    }
    return true;
}

START_TEST(only_what_is_there_is_copied)
{
    struct session_record *from = malloc(sizeof *from), *to = calloc(1, sizeof *to);
    ck_assert(from != NULL && to != NULL);
    memset(from, 0x5a, sizeof *from);
    for (int i = 0; i < ARRAYS; i++) {
        set_count(from, i, 1 + i % 2);
    }
    session_record_copy(to, from);
    for (int i = 0; i < ARRAYS; i++) {
        size_t used = (size_t)(1 + i % 2) * arrays[i].size;
        ck_assert_msg(all_are(to, arrays[i].offset, used, 0x5a), "%s", arrays[i].name);
        ck_assert_msg(all_are(to, arrays[i].offset + used, arrays[i].size, 0), "%s",
                      arrays[i].name);
    }
    free(from);
    free(to);
}
END_TEST

START_TEST(a_record_that_begins_has_nothing)
{
    struct session_record *record = calloc(1, sizeof *record);
    ck_assert_ptr_nonnull(record);
    session_record_clear(record);
    for (int i = 0; i < ARRAYS; i++) {
        set_count(record, i, 2);
    }
    record->cue_sound_count = 2;
    session_record_begin(record);
    for (int i = 0; i < ARRAYS; i++) {
        ck_assert_msg(all_are(record, arrays[i].count, sizeof(int), 0), "%s", arrays[i].name);
    }
    ck_assert_int_eq(record->cue_sound_count, 0);
    free(record);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("record copy");
    TCase *tests = tcase_create("record copy");
    tcase_add_test(tests, only_what_is_there_is_copied);
    tcase_add_test(tests, a_record_that_begins_has_nothing);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
