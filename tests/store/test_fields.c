/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The tables of fields against the stores that earlier versions wrote, and every field through a
 * store and back. */
#include "fixture.h"

#include "base/text.h"
#include "record/stored.h"

#include <math.h>

/* ---- the schema ---- */

static char *text_of(sqlite3 *db, const char *sql)
{
    sqlite3_stmt *statement = NULL;
    char *text = NULL;
    ck_assert_int_eq(sqlite3_prepare_v2(db, sql, -1, &statement, NULL), SQLITE_OK);
    if (sqlite3_step(statement) == SQLITE_ROW) {
        text = strdup((const char *)sqlite3_column_text(statement, 0));
    }
    sqlite3_finalize(statement);
    return text;
}

/* Words with one blank between, as the latest version wrote its schema: 'down' came after 'up'. */
static void normalise(char *text)
{
    char *found = strstr(text, "('down', 'up')"), *to = text;
    if (found != NULL) {
        memcpy(found, "('up', 'down')", sizeof "('up', 'down')" - 1);
    }
    for (const char *from = text; *from != '\0'; from++) {
        if (*from != ' ' || (to > text && to[-1] != ' ')) {
            *to++ = *from;
        }
    }
    *to = '\0';
}

START_TEST(a_new_store_has_the_schema_of_the_version_that_was_kept)
{
    char sql[256], kept[256];
    snprintf(kept, sizeof kept, "%s", source_path("tests/store/data/version-10.db"));
    make_folder();
    make_store(path, 1, 1);
    sqlite3 *ours = NULL, *theirs = NULL;
    ck_assert_int_eq(sqlite3_open_v2(path, &ours, SQLITE_OPEN_READONLY, NULL), SQLITE_OK);
    ck_assert_int_eq(sqlite3_open_v2(kept, &theirs, SQLITE_OPEN_READONLY, NULL), SQLITE_OK);
    for (int i = 0; i < 100; i++) {
        snprintf(sql, sizeof sql,
                 "SELECT name || ' ' || ifnull(sql, '') FROM sqlite_schema WHERE name NOT LIKE"
                 " 'sqlite_%%' ORDER BY name LIMIT 1 OFFSET %d",
                 i);
        char *a = text_of(ours, sql), *b = text_of(theirs, sql);
        if (a == NULL || b == NULL) {
            ck_assert_ptr_eq(a, b);
            ck_assert_int_gt(i, STORED_TABLES);
            break;
        }
        normalise(a);
        normalise(b);
        ck_assert_str_eq(a, b);
        free(a);
        free(b);
    }
    sqlite3_close(ours);
    sqlite3_close(theirs);
    remove_folder();
}
END_TEST

/* ---- every field there and back ---- */

#define ROWS 2 /* of each kind of record */

static char *base_of(const struct session_record *record, const struct session_header *header,
                     int id, int place)
{
    const struct stored_table *table = stored_tables[id];
    return id == TABLE_SESSION
               ? (char *)(uintptr_t)header

               : (char *)(uintptr_t)record + table->offset + (size_t)place * table->size;
}

/* A value of its own, that the column takes. */
static void set(const struct stored_field *field, char *base, int index, int value)
{
    char *at = base + field->offset + (size_t)index * field->stride;
    int number = value;
    int64_t integer = value;
    double real = value + 0.25;
    switch (field->type) {
    case STORED_UUID:
        for (size_t i = 0; i < 4; i++) {
            at[i] = (char)(value >> (8 * i));
        }
        return;
    case STORED_TEXT:
        snprintf(at, field->size, "text %d", value);
        return;
    case STORED_TRUTH:
        /* what was taken back does not come back with the rest */
        *(bool *)at = value % 2 == 1 && strcmp(field->key, STORED_UNDONE) != 0;
        return;
    case STORED_INTEGER:
        if (field->size == sizeof integer) {
            memcpy(at, &integer, sizeof integer);
            return;
        }
        number = field->has_least && value > CHECK_PHASES_MAX ? value % CHECK_PHASES_MAX : value;
        break;
    case STORED_MOMENT:
        integer = 1700000000000 + value;
        memcpy(at, &integer, sizeof integer);
        return;
    case STORED_PLACE:
        number = field->has_most ? value % (int)field->most : value % ROWS;
        break;
    case STORED_WORD:
        number = field->list->first;
        number += value % field->list->count;
        number += word_of(field->list, number) == NULL;
        break;
    case STORED_KEY:
        number = value % CHECK_QUANTITIES;
        break;
    case STORED_REAL:
        if (field->read_most > field->read_least) {
            real = field->read_least + fmod(real, field->read_most - field->read_least);
        }
        memcpy(at, &real, sizeof real);
        return;
    case STORED_SCORE:
        real = value % 11;
        memcpy(at, &real, sizeof real);
        return;
    case STORED_ANSWER:
        real = 1 + value % (field->list->count - 1);
        memcpy(at, &real, sizeof real);
        return;
    case STORED_GIVEN:
    case STORED_KEPT:
        return;
    }
    memcpy(at, &number, sizeof number);
}

static void check_same(const struct stored_table *table, const struct stored_field *field,
                       const char *a, const char *b, int index)
{
    size_t at = field->offset + (size_t)index * field->stride;
    bool text = field->type == STORED_TEXT;
    if (field->type != STORED_GIVEN && field->type != STORED_KEPT) {
        ck_assert_msg(text ? text_equal(a + at, b + at) : memcmp(a + at, b + at, field->size) == 0,
                      "%s.%s of row %d", table->name, field->key, index);
    }
}

static void fill(struct session_record *record)
{
    int value = 1;
    struct session_header own, *header = &own;
    session_record_clear(record);
    session_record_header(record, header);
    record->has_rider = record->has_bike = true;
    for (int id = 0; id < TABLE_COMMAND; id++) {
        const struct stored_table *table = stored_tables[id], *owner = stored_tables[table->owner];
        bool owned = table->shape == SHAPE_OWNED;
        int places = (owned ? owner : table)->shape == SHAPE_RECORD ? ROWS : 1;
        for (int place = 0; place < places; place++) {
            char *base = base_of(record, header, owned ? (int)table->owner : id, place);
            for (int index = 0; index < (owned ? table->most : 1); index++) {
                for (int i = 0; i < table->field_count; i++) {
                    set(&table->field[i], base, index, value++);
                }
            }
            if (table->counted) {
                memcpy(base + table->count_offset, &table->most, sizeof table->most);
            }
        }
        if (table->shape == SHAPE_RECORD) {
            memcpy((char *)record + table->count_offset, &places, sizeof places);
        }
    }
    for (int i = 0; i < ROWS; i++) { /* as many phases as there are captures */
        record->check[i].capture = i;
        record->check[i].phase_count = ROWS - i;
    }
    session_record_take_header(record, header);
}

/* Every field of every row, but those of the tables that are left out (NULL behind the last). */
static void compare(const struct session_record *a, const struct session_record *b,
                    const char *const *left_out)
{
    struct session_header header_a, header_b;
    int compared = 0;
    session_record_header(a, &header_a);
    session_record_header(b, &header_b);
    for (int id = 0; id < TABLE_COMMAND; id++) {
        const struct stored_table *table = stored_tables[id], *owner = stored_tables[table->owner];
        bool owned = table->shape == SHAPE_OWNED, skip = false;
        const struct stored_table *placed = owned ? owner : table;
        int places = 1;
        for (int i = 0; left_out[i] != NULL; i++) {
            skip = skip || text_equal(left_out[i], table->name);
        }
        if (placed->shape == SHAPE_RECORD) {
            memcpy(&places, (const char *)a + placed->count_offset, sizeof places);
        }
        for (int place = 0; !skip && place < places; place++) {
            int of = owned ? (int)table->owner : id, rows = owned ? table->most : 1;
            const char *x = base_of(a, &header_a, of, place);
            const char *y = base_of(b, &header_b, of, place);
            if (table->counted) {
                memcpy(&rows, x + table->count_offset, sizeof rows);
            }
            for (int index = 0; index < rows; index++) {
                /* where there is no band the cue has the defaults of its time */
                bool defaults = left_out[0] != NULL && id == TABLE_BAND_CHANNEL &&
                                !a->band[place].limited[index];
                for (int i = 0; !defaults && i < table->field_count; i++) {
                    check_same(table, &table->field[i], x, y, index);
                    compared++;
                }
            }
        }
    }
    ck_assert_int_gt(compared, 300);
}

START_TEST(every_field_comes_back_as_it_was)
{
    static const char *const none[] = {NULL};
    struct session_record *record = malloc(sizeof *record), *loaded = malloc(sizeof *loaded);
    ck_assert(record != NULL && loaded != NULL);
    make_folder();
    fill(record);
    struct store *store = open_store(STORE_RECORD);
    MUST(store_begin(store, &problem));
    full_session_effects(record, 0, write_effect, store);
    MUST(store_commit(store, &problem));
    MUST(store_load(store, 1, loaded, &problem));
    compare(record, loaded, none);
    store_close(store);
    remove_folder();
    free(record);
    free(loaded);
}
END_TEST

/* Which column is which member: the store was written by the program of its version, from the
 * session that full_session still makes, but for the bike's measures. */
START_TEST(an_earlier_store_has_each_value_in_its_column)
{
    static const char *const bikes[] = {"session_bike_value", "setup_value", NULL};
    struct session_record *record = full_session(1), *loaded = malloc(sizeof *loaded);
    struct store *store = open_at(source_path("tests/store/data/version-10.db"), STORE_READ);
    MUST(store_load(store, 1, loaded, &problem));
    compare(record, loaded, bikes);
    store_close(store);
    free(record);
    free(loaded);
}
END_TEST

/* No length, rate or time of a session is over a million. */
START_TEST(a_number_over_a_million_is_no_number_of_a_session)
{
    struct session_record *record = malloc(sizeof *record);
    ck_assert_ptr_nonnull(record);
    make_folder();
    make_store(path, 1, 1);
    run_sql("DELETE FROM record_sum; DELETE FROM sample_sum");
    run_sql("UPDATE placing SET announced_rate_hz = 1000000");
    struct store *store = store_open(path, STORE_READ, &problem);
    ck_assert_msg(store_load(store, 1, record, &problem), "%s", problem.sentence);
    store_close(store);
    run_sql("UPDATE placing SET announced_rate_hz = 1000001");
    store = store_open(path, STORE_READ, &problem);
    ck_assert(!store_load(store, 1, record, &problem));
    ck_assert_msg(strstr(problem.sentence, "damaged") != NULL, "%s", problem.sentence);
    store_close(store);
    remove_folder();
    free(record);
}
END_TEST

static Suite *fields_suite(void)
{
    Suite *suite = suite_create("fields");
    TCase *tests = tcase_create("fields");
    tcase_add_test(tests, a_new_store_has_the_schema_of_the_version_that_was_kept);
    tcase_add_test(tests, every_field_comes_back_as_it_was);
    tcase_add_test(tests, a_number_over_a_million_is_no_number_of_a_session);
    tcase_add_test(tests, an_earlier_store_has_each_value_in_its_column);
    suite_add_tcase(suite, tests);
    return suite;
}

int main(void)
{
    return test_main(fields_suite());
}
