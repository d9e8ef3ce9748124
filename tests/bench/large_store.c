/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* How long `list`, `show` and `compare` of one session take in a store of 10,000 holds (60 s, 50
 * samples a second, 2 channels: 1 GB, made in a minute) and in one of 96: the real program from
 * start to exit, the least of several runs. A visit is recorded by the program itself and then
 * copied within the store, row by row of whatever tables there are, each copy with its own rider,
 * bike and samples; without checksums of records, which are those of the first one's names.
 * HOLDLINE_BENCH_HOLDS makes the large one smaller. */
#include "support/bench.h"
#include "support/program.h"

#include <math.h>
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define RUNS 7
#define HOLDS_A_VISIT 12
#define SMALL_HOLDS 96
#define LARGE_HOLDS 10000
#define GOAL_MS 50.0
#define GOAL_FLAT 1.5 /* times as long as in the small store */
#define GOAL_OPEN_MS 300.0
#define TABLES_MAX 64
#define SQL_MAX 4096

/* Copy ?1 of session 1, the program's own. Every uuid's first eight digits become the copy's number
 * (they are a time; what tells records of one session apart comes after), and so does the rider's
 * code; ids and sample numbers move on by the copy's place. */
static const char *expression_of(const char *column)
{
    static const struct {
        const char *column, *expression;
    } changed[] = {
        {"id", "id + ?1"},
        {"session_id", "session_id + ?1"},
        {"rider_id", "rider_id + ?1"},
        {"bike_id", "bike_id + ?1"},
        {"uuid", "printf('%08x', ?1) || substr(uuid, 9)"},
        {"code", "printf('R-%06d', ?1)"},
        {"first_n", "first_n + ?1 * ?2"},
        {"last_n", "last_n + ?1 * ?2"},
        {"n", "n + ?1 * ?2"},
    };
    for (size_t i = 0; i < sizeof changed / sizeof changed[0]; i++) {
        if (strcmp(column, changed[i].column) == 0) {
            return changed[i].expression;
        }
    }
    return NULL;
}

/* 'INSERT INTO table SELECT ... FROM table WHERE the first session's'; NULL for a table in which
 * nothing is a session's own. */
static sqlite3_stmt *copy_of_table(sqlite3 *db, const char *table)
{
    char sql[SQL_MAX], list[SQL_MAX] = "";
    const char *key = NULL;
    sqlite3_stmt *columns = NULL, *copy = NULL;
    snprintf(sql, sizeof sql, "SELECT name FROM pragma_table_info('%s')", table);
    sqlite3_prepare_v2(db, sql, -1, &columns, NULL);
    while (sqlite3_step(columns) == SQLITE_ROW) {
        static const char *const keys[] = {"session_id", "bike_id", "id", "n"};
        const char *column = (const char *)sqlite3_column_text(columns, 0);
        const char *expression = expression_of(column);
        size_t used = strlen(list);
        snprintf(list + used, sizeof list - used, "%s%s", used > 0 ? ", " : "",
                 expression != NULL ? expression : column);
        for (size_t i = 0; key == NULL && i < sizeof keys / sizeof keys[0]; i++) {
            key = strcmp(column, keys[i]) == 0 ? keys[i] : NULL;
        }
    }
    sqlite3_finalize(columns);
    if (key != NULL) {
        snprintf(sql, sizeof sql, "INSERT INTO %s SELECT %s FROM %s WHERE %s <= %s", table, list,
                 table, key, strcmp(key, "n") == 0 ? "?2" : "1");
        sqlite3_prepare_v2(db, sql, -1, &copy, NULL);
    }
    return copy;
}

static long long number_in(sqlite3 *db, const char *sql)
{
    sqlite3_stmt *statement = NULL;
    long long number = -1;
    if (sqlite3_prepare_v2(db, sql, -1, &statement, NULL) == SQLITE_OK &&
        sqlite3_step(statement) == SQLITE_ROW) {
        number = sqlite3_column_int64(statement, 0);
    }
    sqlite3_finalize(statement);
    return number;
}

static bool run_copies(sqlite3 *db, sqlite3_stmt *const *copy, int tables, int visits)
{
    long long samples = number_in(db, "SELECT last_n FROM session WHERE id = 1");
    bool done = samples > 0;
    for (int visit = 1; done && visit < visits; visit++) {
        done = sqlite3_exec(db, "BEGIN", NULL, NULL, NULL) == SQLITE_OK;
        for (int t = 0; done && t < tables; t++) {
            sqlite3_bind_int(copy[t], 1, visit);
            if (sqlite3_bind_parameter_count(copy[t]) > 1) {
                sqlite3_bind_int64(copy[t], 2, samples);
            }
            done = sqlite3_step(copy[t]) == SQLITE_DONE;
            sqlite3_reset(copy[t]);
        }
        done = done && sqlite3_exec(db, "COMMIT", NULL, NULL, NULL) == SQLITE_OK;
    }
    return done;
}

/* A store of so many holds. */
static bool fill(struct bench *bench, const char *name, int holds)
{
    char path[128];
    sqlite3 *db = NULL;
    sqlite3_stmt *names = NULL, *copy[TABLES_MAX];
    int tables = 0, visits = (holds + HOLDS_A_VISIT - 1) / HOLDS_A_VISIT;
    snprintf(path, sizeof path, "%s/%s", bench->folder, name);
    if (!bench_store_visit(bench, name)) {
        return false;
    }
    bool done = sqlite3_open(path, &db) == SQLITE_OK &&
                sqlite3_exec(db, "PRAGMA journal_mode = WAL; PRAGMA synchronous = OFF", NULL, NULL,
                             NULL) == SQLITE_OK &&
                sqlite3_prepare_v2(db,
                                   "SELECT name FROM sqlite_schema WHERE type = 'table' AND name"
                                   " NOT LIKE 'sqlite%' AND name <> 'record_sum'",
                                   -1, &names, NULL) == SQLITE_OK;
    while (done && tables < TABLES_MAX && sqlite3_step(names) == SQLITE_ROW) {
        copy[tables] = copy_of_table(db, (const char *)sqlite3_column_text(names, 0));
        tables += copy[tables] != NULL;
    }
    sqlite3_finalize(names);
    done = done && run_copies(db, copy, tables, visits) &&
           number_in(db, "SELECT count(*) FROM hold") == (long long)visits * HOLDS_A_VISIT;
    if (!done) {
        bench_fail(bench, "%s could not be filled: %s", name, sqlite3_errmsg(db));
    }
    for (int t = 0; t < tables; t++) {
        sqlite3_finalize(copy[t]);
    }
    return sqlite3_close(db) == SQLITE_OK && done;
}

static const struct {
    const char *what, *word, *option, *value;
    bool flat; /* of one session; a list is as long as it is */
} commands[] = {
    {"list, all sessions", "list", NULL, NULL, false},
    {"list, one rider's", "list", "--rider", "R-000004", false},
    {"show, one session", "show", "5", NULL, true},
    {"compare, one session", "compare", "5", NULL, true},
};

/* A session of one note, another each time: opened to record, brought into order, written, sealed.
 * NAN where it failed (told). */
static double record_note_ms(struct bench *bench, int number)
{
    const char *const argv[] = {program_path(), "run", "note.session", "--store", "large.db", NULL};
    char path[128];
    snprintf(path, sizeof path, "%s/note.session", bench->folder);
    FILE *script = fopen(path, "w");
    bool written =
        script != NULL && fprintf(script,
                                  "session 2026-03-0%dT18:00:00Z seed=1\nrider R-000001\n"
                                  "note \"a word\"\nend\n",
                                  number) > 0;
    if (script != NULL) {
        written = fclose(script) == 0 && written;
    }
    if (!written) {
        bench_fail(bench, "%s can't be written", path);
        return (double)NAN;
    }
    return bench_least_ms(bench, argv, "said", 1);
}

static void time_recording(struct bench *bench, int holds)
{
    char what[64];
    double least_ms = (double)INFINITY;
    for (int i = 1; i <= 3; i++) {
        least_ms = fmin(least_ms, record_note_ms(bench, i));
    }
    snprintf(what, sizeof what, "run, a note, %d holds", holds);
    bench_at_most(bench, what, least_ms, "ms", GOAL_OPEN_MS);
}

static double took_ms(struct bench *bench, size_t command, const char *store)
{
    const char *const argv[] = {program_path(),           commands[command].word,  "--store", store,
                                commands[command].option, commands[command].value, NULL};
    return bench_least_ms(bench, argv, "said", RUNS);
}

int main(void)
{
    struct bench bench;
    char what[64];
    const char *wanted = getenv("HOLDLINE_BENCH_HOLDS");
    int holds = wanted != NULL && atoi(wanted) > 0 ? atoi(wanted) : LARGE_HOLDS;
    if (!bench_begin(&bench, "large") || !fill(&bench, "small.db", SMALL_HOLDS) ||
        !fill(&bench, "large.db", holds)) {
        return bench_end(&bench);
    }
    for (size_t i = 0; i < sizeof commands / sizeof commands[0]; i++) {
        double small_ms = took_ms(&bench, i, "small.db");
        double large_ms = took_ms(&bench, i, "large.db");
        snprintf(what, sizeof what, "%s, %d holds", commands[i].what, holds);
        bench_at_most(&bench, what, large_ms, "ms", GOAL_MS);
        if (commands[i].flat) {
            snprintf(what, sizeof what, "%s, growth", commands[i].what);
            bench_at_most(&bench, what, large_ms / small_ms, "times 96", GOAL_FLAT);
        }
    }
    time_recording(&bench, holds);
    return bench_end(&bench);
}
