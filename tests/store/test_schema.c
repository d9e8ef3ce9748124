/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/full_session.h"
#include "support/test_main.h"

#include "store/results.h"
#include "store/store.h"

#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* docs/schema.md against the schema itself. */

static char path[128];
static char *document;

static void read_document(void)
{
    FILE *file = fopen(source_path("docs/schema.md"), "rb");
    ck_assert_ptr_nonnull(file);
    document = calloc(1, 200000);
    ck_assert_ptr_nonnull(document);
    ck_assert_uint_lt(fread(document, 1, 200000, file), 199999);
    fclose(file);
}

static void write_effect(void *context, const struct effect *effect)
{
    struct problem problem;
    ck_assert_msg(store_write_effect(context, effect, &problem), "%s", problem.sentence);
}

static void write_results(struct store *store, struct session_record *record)
{
    struct problem problem = {0};
    struct analysis *analysis = analysis_create();
    struct store_sample_source source = {.store = store, .session_id = 1};
    ck_assert_ptr_nonnull(analysis);
    ck_assert_msg(store_load(store, 1, record, &problem) &&
                      analysis_make(record, store_sample_source, &source, analysis, &problem) &&
                      store_results_write(store, 1, record, analysis, &problem),
                  "%s", problem.sentence);
    analysis_destroy(analysis);
}

static void make_store(void)
{
    struct problem problem;
    snprintf(path, sizeof path, "/tmp/holdline-schema-XXXXXX");
    int descriptor = mkstemp(path);
    ck_assert_int_ge(descriptor, 0);
    close(descriptor);
    struct session_record *record = full_session(1);
    struct store *store = store_open(path, STORE_RECORD, &problem);
    ck_assert_msg(store != NULL, "%s", problem.sentence);
    ck_assert(store_begin(store, &problem));
    full_session_effects(record, 3, write_effect, store);
    for (int64_t number = 1; number <= 900; number++) {
        struct sample sample;
        full_session_sample(number, 2, 50.0, &sample);
        ck_assert(store_write_samples(store, &sample, 1, &problem));
    }
    ck_assert(store_commit(store, &problem));
    write_results(store, record);
    store_close(store);
    free(record);
    read_document();
}

static void remove_store(void)
{
    unlink(path);
    free(document);
}

static sqlite3 *open_plain(void)
{
    sqlite3 *db = NULL;
    ck_assert_int_eq(sqlite3_open_v2(path, &db, SQLITE_OPEN_READONLY, NULL), SQLITE_OK);
    return db;
}

START_TEST(the_document_is_of_this_version)
{
    sqlite3 *db = open_plain();
    sqlite3_stmt *statement = NULL;
    char row[80];
    ck_assert_int_eq(sqlite3_prepare_v2(db, "PRAGMA user_version", -1, &statement, NULL),
                     SQLITE_OK);
    ck_assert_int_eq(sqlite3_step(statement), SQLITE_ROW);
    snprintf(row, sizeof row, "| `user_version` | %d: ", sqlite3_column_int(statement, 0));
    ck_assert_msg(strstr(document, row) != NULL, "docs/schema.md lacks: %s", row);
    sqlite3_finalize(statement);
    sqlite3_close(db);
}
END_TEST

START_TEST(every_query_of_the_document_runs_and_finds_rows)
{
    sqlite3 *db = open_plain();
    int queries = 0;
    for (char *query = strstr(document, "```sql\n"); query != NULL;
         query = strstr(query, "```sql\n")) {
        query += strlen("```sql\n");
        char *end = strstr(query, "```");
        ck_assert_ptr_nonnull(end);
        *end = '\0';
        sqlite3_stmt *statement = NULL;
        ck_assert_msg(sqlite3_prepare_v2(db, query, -1, &statement, NULL) == SQLITE_OK, "%s\n%s",
                      sqlite3_errmsg(db), query);
        ck_assert_msg(sqlite3_step(statement) == SQLITE_ROW, "no rows: %s", query);
        sqlite3_finalize(statement);
        query = end + 1;
        queries++;
    }
    ck_assert_int_ge(queries, 15);
    sqlite3_close(db);
}
END_TEST

/* As a fitter runs them. */
START_TEST(the_sqlite3_command_runs_every_query)
{
    char query_path[256], line[1024];
    if (system("sqlite3 --version >/dev/null 2>&1") != 0) {
        printf("skipped: the sqlite3 command is not here to run the document's queries\n");
        return;
    }
    snprintf(query_path, sizeof query_path, "%s.sql", path);
    for (char *query = strstr(document, "```sql\n"); query != NULL;
         query = strstr(query, "```sql\n")) {
        query += strlen("```sql\n");
        char *end = strstr(query, "```");
        FILE *stream = fopen(query_path, "w");
        ck_assert(end != NULL && stream != NULL);
        fwrite(query, 1, (size_t)(end - query), stream);
        ck_assert_int_eq(fclose(stream), 0);
        snprintf(line, sizeof line, "sqlite3 -readonly -bail -batch '%s' <'%s' | grep -q .", path,
                 query_path);
        ck_assert_msg(system(line) == 0, "%.*s", (int)(end - query), query);
        query = end;
    }
    unlink(query_path);
}
END_TEST

/* The heading that names the table or view; its text up to the next heading. */
static char *section_of(const char *name)
{
    char quoted[80];
    snprintf(quoted, sizeof quoted, "`%s`", name);
    for (char *line = strstr(document, "\n### "); line != NULL; line = strstr(line, "\n### ")) {
        line += 5;
        char *end = strchr(line, '\n');
        char *found = strstr(line, quoted);
        if (found != NULL && found < end) {
            char *next = strstr(line, "\n### ");
            size_t length = next != NULL ? (size_t)(next - line) : strlen(line);
            char *text = strndup(line, length);
            ck_assert_ptr_nonnull(text);
            return text;
        }
    }
    return NULL;
}

START_TEST(every_table_and_column_is_described)
{
    sqlite3 *db = open_plain();
    sqlite3_stmt *statement = NULL;
    int columns = 0;
    ck_assert_int_eq(
        sqlite3_prepare_v2(db,
                           "SELECT m.name, c.name FROM sqlite_master m, pragma_table_info(m.name) c"
                           " WHERE m.type = 'table' AND m.name NOT LIKE 'sqlite_%'",
                           -1, &statement, NULL),
        SQLITE_OK);
    while (sqlite3_step(statement) == SQLITE_ROW) {
        const char *table = (const char *)sqlite3_column_text(statement, 0);
        const char *column = (const char *)sqlite3_column_text(statement, 1);
        char quoted[80];
        char *section = section_of(table);
        ck_assert_msg(section != NULL, "table %s is not described", table);
        snprintf(quoted, sizeof quoted, "`%s`", column);
        bool is_value = column[0] == 'v' && column[1] >= '1' && column[1] <= '8'; /* `v1` … `v8` */
        ck_assert_msg(is_value || strstr(section, quoted) != NULL, "%s.%s is not described", table,
                      column);
        free(section);
        columns++;
    }
    ck_assert_int_gt(columns, 120);
    sqlite3_finalize(statement);
    sqlite3_close(db);
}
END_TEST

START_TEST(every_view_and_its_columns_are_described)
{
    sqlite3 *db = open_plain();
    sqlite3_stmt *statement = NULL;
    int columns = 0;
    ck_assert_int_eq(
        sqlite3_prepare_v2(db,
                           "SELECT m.name, c.name FROM sqlite_master m, pragma_table_info(m.name) c"
                           " WHERE m.type = 'view'",
                           -1, &statement, NULL),
        SQLITE_OK);
    while (sqlite3_step(statement) == SQLITE_ROW) {
        const char *view = (const char *)sqlite3_column_text(statement, 0);
        const char *column = (const char *)sqlite3_column_text(statement, 1);
        char start[80], quoted[80];
        snprintf(start, sizeof start, "| `%s` |", view);
        const char *line = strstr(document, start);
        ck_assert_msg(line != NULL, "view %s is not described", view);
        snprintf(quoted, sizeof quoted, "`%s`", column);
        const char *found = strstr(line, quoted);
        const char *end = strchr(line, '\n');
        bool shared = strcmp(view, "hold_reading") == 0; /* 'and the columns of reading' */
        if (shared && (found == NULL || found > end)) {
            line = strstr(document, "| `reading` |");
            found = strstr(line, quoted);
            end = strchr(line, '\n');
        }
        ck_assert_msg(found != NULL && found < end, "%s.%s is not described", view, column);
        columns++;
    }
    ck_assert_int_gt(columns, 40);
    sqlite3_finalize(statement);
    sqlite3_close(db);
}
END_TEST

START_TEST(every_table_is_strict)
{
    sqlite3 *db = open_plain();
    sqlite3_stmt *statement = NULL;
    ck_assert_int_eq(
        sqlite3_prepare_v2(db,
                           "SELECT name FROM pragma_table_list WHERE schema = 'main' AND"
                           " type = 'table' AND name NOT LIKE 'sqlite_%' AND strict = 0",
                           -1, &statement, NULL),
        SQLITE_OK);
    if (sqlite3_step(statement) == SQLITE_ROW) {
        ck_abort_msg("%s is not STRICT", (const char *)sqlite3_column_text(statement, 0));
    }
    sqlite3_finalize(statement);
    sqlite3_close(db);
}
END_TEST

/* A row that is not sound is refused, whoever writes it. */
START_TEST(unsound_rows_are_refused)
{
    static const char *const bad[] = {
        "UPDATE session SET ended = 2",
        "UPDATE session SET uuid = 'short'",
        "UPDATE session SET started = 'yesterday'",
        "UPDATE session SET last_n = first_n - 2",
        "UPDATE hold SET status = 'over'",
        "UPDATE hold SET rejected = 7",
        "UPDATE hold SET build = 99",
        "UPDATE build SET setup = 99",
        "UPDATE rating SET neck = 11",
        "UPDATE rating SET neck = -1",
        "UPDATE rating SET sees_ahead = 'maybe'",
        "UPDATE channel SET role = 'other'",
        "UPDATE channel SET channel = 9",
        "UPDATE tie_reading SET kind = 'guess'",
        "UPDATE capture SET kind = 'rest'",
        "UPDATE sample SET v1 = 'far'",
        "UPDATE sample SET quality = -1",
        "UPDATE setup_value SET key = 'no_such_measure'",
        "UPDATE setup_value SET value = NULL",
        "INSERT INTO note VALUES (99, 1, '01000000-0000-7000-8000-0000000000ff', 1, 'whose?', 0)",
    };
    sqlite3 *db = NULL;
    ck_assert_int_eq(sqlite3_open(path, &db), SQLITE_OK);
    sqlite3_exec(db, "PRAGMA foreign_keys = ON", NULL, NULL, NULL);
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        ck_assert_msg(sqlite3_exec(db, bad[i], NULL, NULL, NULL) == SQLITE_CONSTRAINT, "taken: %s",
                      bad[i]);
        ck_assert_int_ne(sqlite3_get_autocommit(db), 0);
    }
    sqlite3_close(db);
}
END_TEST

static Suite *schema_suite(void)
{
    Suite *suite = suite_create("schema");
    TCase *tests = tcase_create("schema");
    tcase_add_checked_fixture(tests, make_store, remove_store);
    tcase_add_test(tests, the_document_is_of_this_version);
    tcase_add_test(tests, every_query_of_the_document_runs_and_finds_rows);
    tcase_add_test(tests, the_sqlite3_command_runs_every_query);
    tcase_add_test(tests, every_table_and_column_is_described);
    tcase_add_test(tests, every_view_and_its_columns_are_described);
    tcase_add_test(tests, every_table_is_strict);
    tcase_add_test(tests, unsound_rows_are_refused);
    suite_add_tcase(suite, tests);
    return suite;
}

int main(void)
{
    return test_main(schema_suite());
}
