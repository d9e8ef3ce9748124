/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What a column of each kind says of a record, and where it says nothing. */
#include "record/stored.h"
#include "support/test_main.h"

#include <math.h>
#include <string.h>

static const struct stored_field *column(enum stored_table_id table, const char *key)
{
    const struct stored_field *field = NULL;
    for (int i = 0; (field = stored_column(stored_tables[table], i)) != NULL; i++) {
        if (strcmp(field->key, key) == 0) {
            return field;
        }
    }
    ck_abort_msg("%s has no column %s", stored_tables[table]->name, key);
    return NULL;
}

static struct stored_value said;

static const struct stored_value *value(enum stored_table_id table, const char *key, const void *of,
                                        int index)
{
    memset(&said, 0x5a, sizeof said);
    stored_value(column(table, key), of, index, &said);
    return &said;
}

static void check_text(enum stored_table_id table, const char *key, const void *of, int index,
                       const char *expected)
{
    const struct stored_value *is = value(table, key, of, index);
    ck_assert_msg(is->is == STORED_IS_TEXT, "%s", key);
    ck_assert_str_eq(is->text, expected);
}

static void check_integer(enum stored_table_id table, const char *key, const void *of,
                          int64_t expected)
{
    const struct stored_value *is = value(table, key, of, 0);
    ck_assert_msg(is->is == STORED_IS_INTEGER, "%s", key);
    ck_assert_int_eq(is->integer, expected);
}

static void check_real(enum stored_table_id table, const char *key, const void *of, int index,
                       double expected)
{
    const struct stored_value *is = value(table, key, of, index);
    ck_assert_msg(is->is == STORED_IS_REAL, "%s", key);
    ck_assert_double_eq(is->real, expected);
}

static void check_nothing(enum stored_table_id table, const char *key, const void *of, int index)
{
    ck_assert_msg(value(table, key, of, index)->is == STORED_NOTHING, "%s", key);
}

START_TEST(a_hold)
{
    struct hold_record hold = {.uuid = {{0xab, 0xcd}},
                               .number = 7,
                               .capture = 4,
                               .build = -1,
                               .guided = true,
                               .planned_s = 60.0,
                               .status = HOLD_STOPPED,
                               .guessed_share = (double)NAN};
    check_text(TABLE_HOLD, "uuid", &hold, 0, "abcd0000-0000-0000-0000-000000000000");
    check_integer(TABLE_HOLD, "number", &hold, 7);
    check_integer(TABLE_HOLD, "capture", &hold, 5); /* places count from 1 */
    check_nothing(TABLE_HOLD, "build", &hold, 0);
    check_integer(TABLE_HOLD, "target", &hold, 1);
    check_integer(TABLE_HOLD, "guided", &hold, 1);
    check_integer(TABLE_HOLD, "rejected", &hold, 0); /* false is said */
    check_real(TABLE_HOLD, "planned_s", &hold, 0, 60.0);
    check_text(TABLE_HOLD, "status", &hold, 0, "stopped");
    check_text(TABLE_HOLD, "reject_reason", &hold, 0, ""); /* may not lack */
    check_nothing(TABLE_HOLD, "guessed_share", &hold, 0);
    hold.planned_s = (double)INFINITY;
    check_nothing(TABLE_HOLD, "planned_s", &hold, 0);
    hold.status = (enum hold_status)77;
    check_nothing(TABLE_HOLD, "status", &hold, 0); /* no word for it */
}
END_TEST

START_TEST(samples_and_scores)
{
    struct capture_record capture = {.first_sample = 5000000000, .last_sample = 0};
    check_integer(TABLE_CAPTURE, "first_sample", &capture, 5000000000);
    check_nothing(TABLE_CAPTURE, "last_sample", &capture, 0); /* it goes on */
    capture.last_sample = 5000000100;
    check_integer(TABLE_CAPTURE, "last_sample", &capture, 5000000100);
    struct rating_record rating;
    rating_clear(&rating);
    check_nothing(TABLE_RATING, "effort", &rating, 0);
    check_nothing(TABLE_RATING, "sees_ahead", &rating, 0);
    const struct stored_field *effort = column(TABLE_RATING, "effort");
    const struct stored_field *sees = column(TABLE_RATING, "sees_ahead");
    const double four = 4.0, yes = 1.0;
    memcpy((char *)&rating + effort->offset, &four, sizeof four);
    memcpy((char *)&rating + sees->offset, &yes, sizeof yes);
    check_real(TABLE_RATING, "effort", &rating, 0, 4.0);
    check_text(TABLE_RATING, "sees_ahead", &rating, 0, word_of(sees->list, 1));
}
END_TEST

START_TEST(a_session_and_what_is_given)
{
    struct session_header header = {.started_ms = 1768068000000};
    header.settings.trunk_slope_deg = 18.5;
    check_text(TABLE_SESSION, "started", &header, 0, "2026-01-10T18:00:00.000Z");
    check_nothing(TABLE_SESSION, "rider_id", &header, 0); /* the store's own */
    check_real(TABLE_SESSION, "trunk_slope_deg", &header, 0, 18.5);
    check_nothing(TABLE_SESSION, "found_by", &header, 0);
    strcpy(header.settings.found_by, "chin over the pads");
    check_text(TABLE_SESSION, "found_by", &header, 0, "chin over the pads");
    header.settings.matters_mm[2] = 12.0;
    check_real(TABLE_MATTERS, "matters_mm", &header, 2, 12.0);
    check_integer(TABLE_CHANNEL, "unit_um", &header, 100); /* a tenth of a millimetre */
    struct check_record check = {.number_count = 1};
    check.number[0].quantity = CHECK_RANGE;
    check_text(TABLE_SENSOR_CHECK_NUMBER, "key", &check, 0, "range_mm");
    check_text(TABLE_SENSOR_CHECK_NUMBER, "unit", &check, 0, "mm");
    const struct stored_keys *keys = column(TABLE_SENSOR_CHECK_NUMBER, "key")->keys;
    ck_assert_int_eq(keys->find("range_mm"), CHECK_RANGE);
    ck_assert_int_eq(keys->find("range"), -1); /* as another version may have it */
    header.limits.least[0] = 10.0;
    ck_assert_int_eq(value(TABLE_PART_LIMIT, "unit", &header, 0)->is, STORED_IS_TEXT);
}
END_TEST

START_TEST(types_as_the_schema_calls_them)
{
    static const struct {
        enum stored_table_id table;
        const char *key, *word;
    } rows[] = {
        {TABLE_HOLD, "uuid", "TEXT"},        {TABLE_HOLD, "number", "INTEGER"},
        {TABLE_HOLD, "capture", "INTEGER"},  {TABLE_HOLD, "guided", "INTEGER"},
        {TABLE_HOLD, "planned_s", "REAL"},   {TABLE_HOLD, "status", "TEXT"},
        {TABLE_RATING, "effort", "INTEGER"}, {TABLE_RATING, "sees_ahead", "TEXT"},
        {TABLE_SESSION, "started", "TEXT"},  {TABLE_SESSION, "rider_id", "INTEGER"},
        {TABLE_NOTE, "text", "TEXT"},        {TABLE_SETUP_VALUE, "key", "TEXT"},
        {TABLE_PART_LIMIT, "unit", "TEXT"},  {TABLE_CHANNEL, "unit_um", "INTEGER"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        ck_assert_str_eq(stored_type_word(column(rows[i].table, rows[i].key)), rows[i].word);
    }
}
END_TEST

START_TEST(the_mark_of_what_was_taken_back)
{
    struct note_record note = {.undone = false};
    struct session_header header = {.started_ms = 1};
    ck_assert(!stored_is_undone(stored_tables[TABLE_NOTE], &note));
    ck_assert(stored_set_undone(stored_tables[TABLE_NOTE], &note, true));
    ck_assert(note.undone && stored_is_undone(stored_tables[TABLE_NOTE], &note));
    ck_assert(stored_set_undone(stored_tables[TABLE_NOTE], &note, false));
    ck_assert(!note.undone);
    /* a session can't be taken back */
    ck_assert(!stored_set_undone(stored_tables[TABLE_SESSION], &header, true));
    ck_assert(!stored_is_undone(stored_tables[TABLE_SESSION], &header));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("stored");
    TCase *tests = tcase_create("stored");
    tcase_add_test(tests, a_hold);
    tcase_add_test(tests, samples_and_scores);
    tcase_add_test(tests, a_session_and_what_is_given);
    tcase_add_test(tests, types_as_the_schema_calls_them);
    tcase_add_test(tests, the_mark_of_what_was_taken_back);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
