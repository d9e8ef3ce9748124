/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "sums.h"

#include "base/text.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Stores are handed from machine to machine. What a file's schema says is run by SQLite as soon as
 * the file is read (a view in the place of a table, a trigger, an index on an expression), so a
 * store is read only where its schema is the one that this program makes for the file's version:
 * the same objects by name and text, and no other. */

#define OBJECTS_MAX 100
#define NAME_MOST 64
#define WORDS_MOST 40
#define HEAP_MOST 268435456 /* bytes that SQLite takes at most */

struct object {
    char name[NAME_MOST];
    char kind[8]; /* 'table', 'index', 'view' */
    char *text;   /* canonical */
    bool seen;
};

struct expected {
    struct object object[OBJECTS_MAX];
    int count;
    char *text;
    size_t size, used;
};

/* ---- one text for statements that say the same -------------------------------------------------
 */

static int by_text(const void *a, const void *b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

static void put(char *text, size_t size, size_t *used, const char *from, size_t length)
{
    for (size_t i = 0; i < length && *used + 1 < size; i++) {
        text[(*used)++] = from[i];
    }
    text[*used < size ? *used : size - 1] = '\0';
}

/* The words of a CHECK (... IN ('a', 'b')), in order: earlier programs had them in another. Gives
 * what stands behind them, or NULL where it is no such list. */
static const char *put_words(const char *from, char *text, size_t size, size_t *used)
{
    char copy[1024];
    char *words[WORDS_MOST];
    int count = 0;
    const char *end = strchr(from, ')');
    if (*from != '\'' || end == NULL || (size_t)(end - from) >= sizeof copy) {
        return NULL;
    }
    snprintf(copy, sizeof copy, "%.*s", (int)(end - from), from);
    char *rest = NULL;
    for (char *word = strtok_r(copy, ", ", &rest); word != NULL && count < WORDS_MOST;
         word = strtok_r(NULL, ", ", &rest)) {
        words[count++] = word;
    }
    qsort(words, (size_t)count, sizeof words[0], by_text);
    for (int i = 0; i < count; i++) {
        put(text, size, used, words[i], strlen(words[i]));
        put(text, size, used, ",", 1);
    }
    return end;
}

static void canonical(const char *sql, char *text, size_t size)
{
    size_t used = 0;
    bool space = false;
    text[0] = '\0';
    while (*sql != '\0') {
        if (*sql == ' ' || *sql == '\n' || *sql == '\t') {
            space = true;
            sql++;
            continue;
        }
        if (space && used > 0) {
            put(text, size, &used, " ", 1);
        }
        space = false;
        const char *behind = used >= 4 && strcmp(text + used - 4, "IN (") == 0
                                 ? put_words(sql, text, size, &used)
                                 : NULL;
        if (behind != NULL) {
            sql = behind;
        } else {
            put(text, size, &used, sql++, 1);
        }
    }
}

/* ---- what there must be ------------------------------------------------------------------------
 */

/* 'CREATE UNIQUE INDEX name ON ...': kind and name. */
static void name_of(const char *sql, char *kind, size_t kind_size, char *name, size_t name_size)
{
    char word[4][NAME_MOST] = {"", "", "", ""};
    int at = sscanf(sql, "%63s %63s %63s %63s", word[0], word[1], word[2], word[3]) == 4 &&
                     text_equal(word[1], "UNIQUE")
                 ? 2
                 : 1;
    text_copy(kind, kind_size, word[at]);
    for (char *c = kind; *c != '\0'; c++) {
        *c = (char)(*c >= 'A' && *c <= 'Z' ? *c - 'A' + 'a' : *c);
    }
    text_copy(name, name_size, word[at + 1]);
}

static void expect(struct expected *expected, const char *sql)
{
    struct object *object = &expected->object[expected->count];
    if (sql[0] == '\0' || expected->count == OBJECTS_MAX) {
        return;
    }
    name_of(sql, object->kind, sizeof object->kind, object->name, sizeof object->name);
    object->text = expected->text + expected->used;
    canonical(sql, object->text, expected->size - expected->used);
    expected->used += strlen(object->text) + 1;
    expected->count++;
}

static void expect_all(struct expected *expected, const char *const *sql)
{
    for (; *sql != NULL; sql++) {
        expect(expected, *sql);
    }
}

static void expect_version(struct expected *expected, int64_t version)
{
    char sql[STORE_TABLE_SQL_SIZE];
    expect_all(expected, store_first_tables_sql);
    for (int id = 0; id < STORED_TABLES; id++) {
        store_table_sql_of((enum stored_table_id)id, version, sql, sizeof sql);
        expect(expected, sql);
    }
    expect_all(expected, store_last_tables_sql);
    if (version >= SUMS_SINCE) {
        expect_all(expected, store_sum_tables_sql);
    }
    if (version >= RESULTS_SINCE) {
        expect_all(expected, store_result_tables_sql);
        expect_all(expected, store_result_drag_sql);
    }
    expect_all(expected, store_views_sql);
}

/* ---- what there is -----------------------------------------------------------------------------
 */

/* SQLite's own: the counter of AUTOINCREMENT, and the indexes of UNIQUE and PRIMARY KEY, which have
 * no text of their own. */
static bool is_own(const char *kind, const char *name, const char *sql)
{
    if (text_equal(kind, "index") && text_starts_with(name, "sqlite_autoindex_")) {
        return sql == NULL;
    }
    return text_equal(kind, "table") && text_equal(name, "sqlite_sequence") && sql != NULL &&
           text_equal(sql, "CREATE TABLE sqlite_sequence(name,seq)");
}

static struct object *find(struct expected *expected, const char *name)
{
    for (int i = 0; i < expected->count; i++) {
        if (text_equal(expected->object[i].name, name)) {
            return &expected->object[i];
        }
    }
    return NULL;
}

struct comparing {
    struct store *store;
    int64_t version;
    struct expected expected;
    struct problem *problem;
};

/* Where all that can be read is wanted, a table that is not as it was made is passed over, and
 * told. Without sessions and samples there is nothing. */
static bool pass_over(struct store *store, const char *kind, const char *name, const char *why)
{
    char sentence[300];
    if (!store->tolerant || text_equal(name, "session") || text_equal(name, "sample")) {
        return false;
    }
    for (int id = 0; id < STORED_TABLES; id++) {
        if (text_equal(stored_tables[id]->name, name)) {
            store->passed_over[id] = true;
        }
    }
    snprintf(sentence, sizeof sentence, "the %.20s '%.60s' %s: it is passed over", kind, name, why);
    store->damage.told(store->damage.context, sentence);
    store->damage.count++;
    return true;
}

static bool refuse(struct comparing *comparing, const char *kind, const char *name, const char *why)
{
    return pass_over(comparing->store, kind, name, why) ||
           problem_set(comparing->problem,
                       "%s: the %.20s '%.60s' in it %s: it was made or changed by another program, "
                       "and nothing of it is run. 'holdline store rescue FILE' takes the sessions "
                       "out of it",
                       comparing->store->path, kind, name, why);
}

/* An earlier version's views are never read: they are made anew when it is brought up. */
static bool is_expected(struct comparing *comparing, const char *kind, const char *name,
                        const char *sql)
{
    char text[STORE_TABLE_SQL_SIZE];
    if (is_own(kind, name, sql)) {
        return true;
    }
    struct object *object = find(&comparing->expected, name);
    if (object == NULL || !text_equal(object->kind, kind) || sql == NULL) {
        return refuse(comparing, kind, name, "is not Holdline's");
    }
    object->seen = true;
    canonical(sql, text, sizeof text);
    bool any_text = comparing->version < STORE_VERSION && text_equal(kind, "view");
    return any_text || text_equal(object->text, text) ||
           refuse(comparing, kind, name, "is not as Holdline makes it");
}

static bool compare(struct comparing *comparing)
{
    sqlite3 *db = comparing->store->db;
    sqlite3_stmt *statement = NULL;
    struct expected *expected = &comparing->expected;
    bool same = true;
    int code =
        sqlite3_prepare_v2(db, "SELECT type, name, sql FROM sqlite_schema", -1, &statement, NULL);
    while (code == SQLITE_OK && same && sqlite3_step(statement) == SQLITE_ROW) {
        const char *kind = (const char *)sqlite3_column_text(statement, 0);
        const char *name = (const char *)sqlite3_column_text(statement, 1);
        same = is_expected(comparing, kind != NULL ? kind : "object", name != NULL ? name : "",
                           (const char *)sqlite3_column_text(statement, 2));
    }
    code = code == SQLITE_OK ? sqlite3_finalize(statement) : code;
    if (code != SQLITE_OK && same) {
        return problem_set(comparing->problem, "%s can't be read as a store: %s",
                           comparing->store->path, sqlite3_errmsg(db));
    }
    for (int i = 0; same && i < expected->count; i++) {
        /* an earlier version has fewer views, and none of its own is read */
        bool later =
            comparing->version < STORE_VERSION && text_equal(expected->object[i].kind, "view");
        if (!expected->object[i].seen && !later) {
            same =
                refuse(comparing, expected->object[i].kind, expected->object[i].name, "is missing");
        }
    }
    return same;
}

bool store_schema_is_own(struct store *store, int64_t version, struct problem *problem)
{
    struct comparing *comparing = calloc(1, sizeof *comparing);
    bool same = false;
    if (comparing != NULL) {
        comparing->store = store;
        comparing->version = version;
        comparing->problem = problem;
        comparing->expected.size = (size_t)OBJECTS_MAX * STORE_TABLE_SQL_SIZE;
        comparing->expected.text = malloc(comparing->expected.size);
    }
    if (comparing == NULL || comparing->expected.text == NULL) {
        problem_set(problem, "there is no memory left");
    } else {
        expect_version(&comparing->expected, version);
        same = compare(comparing);
    }
    if (comparing != NULL) {
        free(comparing->expected.text);
    }
    free(comparing);
    return same;
}

/* ---- what a file may ask for --------------------------------------------------------------------
 */

void store_guard(sqlite3 *db)
{
    static const struct {
        int limit, most;
    } limits[] = {
        {SQLITE_LIMIT_LENGTH, 1000000},
        {SQLITE_LIMIT_SQL_LENGTH, 100000},
        {SQLITE_LIMIT_COLUMN, 100},
        {SQLITE_LIMIT_EXPR_DEPTH, 100},
        {SQLITE_LIMIT_COMPOUND_SELECT, 20},
        {SQLITE_LIMIT_VDBE_OP, 100000},
        {SQLITE_LIMIT_FUNCTION_ARG, 20},
        {SQLITE_LIMIT_ATTACHED, 2}, /* VACUUM attaches one */
        {SQLITE_LIMIT_VARIABLE_NUMBER, 100},
        {SQLITE_LIMIT_TRIGGER_DEPTH, 10},
        {SQLITE_LIMIT_LIKE_PATTERN_LENGTH, 1000},
        {SQLITE_LIMIT_WORKER_THREADS, 0},
    };
    sqlite3_hard_heap_limit64(HEAP_MOST); /* of the process: what sorting in memory may take */
    for (size_t i = 0; i < sizeof limits / sizeof limits[0]; i++) {
        sqlite3_limit(db, limits[i].limit, limits[i].most);
    }
    sqlite3_db_config(db, SQLITE_DBCONFIG_DEFENSIVE, 1, NULL);
    sqlite3_db_config(db, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, NULL);
    sqlite3_db_config(db, SQLITE_DBCONFIG_ENABLE_TRIGGER, 0, NULL); /* foreign keys don't need it */
    sqlite3_db_config(db, SQLITE_DBCONFIG_ENABLE_LOAD_EXTENSION, 0, NULL);
}
