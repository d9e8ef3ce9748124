/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/full_session.h"
#include "support/fuzz_doors.h"

#include "app/rescue.h"
#include "base/numbers.h"
#include "base/text.h"
#include "store/care.h"
#include "store/store.h"

#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define SAMPLES 900
#define CHANGES_MOST 16

static char path[64], made[80]; /* the damaged one; what is made of it */
static unsigned char *sound;    /* the file as it is made */
static size_t sound_size;
static char table[64][64];
static int tables;

static void fail(const char *what)
{
    fprintf(stderr, "fuzz: store: %s\n", what);
    abort();
}

static void write_effect(void *context, const struct effect *effect)
{
    if (!store_write_effect(context, effect, NULL)) {
        fail("a record can't be written");
    }
}

static void make_store(void)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct session_record *record = full_session(1);
    for (int i = 0; i < record->hold_count; i++) { /* none goes on in a session that has ended */
        bool over = record->hold[i].status != HOLD_RUNNING;
        record->hold[i].status = over ? record->hold[i].status : HOLD_COMPLETE;
    }
    struct store *store = store_open(path, STORE_RECORD, &problem);
    if (store == NULL || !store_begin(store, &problem)) {
        fail(problem.sentence);
    }
    full_session_effects(record, 3, write_effect, store);
    for (int64_t number = 1; number <= SAMPLES; number++) {
        struct sample sample;
        full_session_sample(number, 2, 50.0, &sample);
        store_write_samples(store, &sample, 1, &problem);
    }
    if (!store_commit(store, &problem)) {
        fail(problem.sentence);
    }
    store_close(store);
    free(record);
}

static void list_tables(void)
{
    sqlite3 *db = NULL;
    sqlite3_stmt *statement = NULL;
    if (sqlite3_open(path, &db) != SQLITE_OK ||
        sqlite3_prepare_v2(db, "SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name",
                           -1, &statement, NULL) != SQLITE_OK) {
        fail("its tables can't be listed");
    }
    while (tables < 64 && sqlite3_step(statement) == SQLITE_ROW) {
        text_copy(table[tables++], sizeof table[0],
                  (const char *)sqlite3_column_text(statement, 0));
    }
    sqlite3_finalize(statement);
    sqlite3_close(db);
}

static void remove_at_end(void)
{
    unlink(path);
    store_remove(made);
}

static void prepare(void)
{
    snprintf(path, sizeof path, "/dev/shm/holdline-fuzz-%ld.db", (long)getpid());
    snprintf(made, sizeof made, "%s.made", path);
    unlink(path);
    make_store();
    list_tables();
    FILE *file = fopen(path, "rb");
    if (file == NULL) {
        fail("it is not there");
    }
    fseek(file, 0, SEEK_END);
    sound_size = (size_t)ftell(file);
    rewind(file);
    sound = malloc(sound_size);
    if (sound == NULL || fread(sound, 1, sound_size, file) != sound_size) {
        fail("it can't be read");
    }
    fclose(file);
    atexit(remove_at_end);
}

/* ---- changes -----------------------------------------------------------------------------------
 */

static void put_value(sqlite3_stmt *statement, const char *value)
{
    double number = 0.0;
    int64_t whole = 0;
    if (value[0] == 'n') {
        sqlite3_bind_null(statement, 1);
    } else if (value[0] == '"') {
        sqlite3_bind_text(statement, 1, value + 1, -1, SQLITE_TRANSIENT);
    } else if (value[0] == 'x') {
        sqlite3_bind_blob(statement, 1, value + 1, (int)strlen(value + 1), SQLITE_TRANSIENT);
    } else if (text_to_int64(value, &whole)) {
        sqlite3_bind_int64(statement, 1, whole);
    } else if (text_to_double(value, &number)) {
        sqlite3_bind_double(statement, 1, number);
    } else {
        sqlite3_bind_text(statement, 1, value, -1, SQLITE_TRANSIENT);
    }
}

/* The name of a column, counted round. */
static bool column_of(sqlite3 *db, const char *of, int64_t number, char *name, size_t size)
{
    sqlite3_stmt *statement = NULL;
    char sql[128];
    snprintf(sql, sizeof sql, "SELECT * FROM \"%s\"", of);
    bool done = sqlite3_prepare_v2(db, sql, -1, &statement, NULL) == SQLITE_OK &&
                sqlite3_column_count(statement) > 0;
    if (done) {
        int columns = sqlite3_column_count(statement);
        text_copy(name, size,
                  sqlite3_column_name(statement, (int)((uint64_t)number % (uint64_t)columns)));
    }
    sqlite3_finalize(statement);
    return done;
}

static void change_row(sqlite3 *db, const int64_t number[3], const char *value)
{
    sqlite3_stmt *statement = NULL;
    char sql[400], column[64];
    const char *of = table[(uint64_t)number[0] % (uint64_t)tables];
    if (!column_of(db, of, number[2], column, sizeof column)) {
        return;
    }
    snprintf(sql, sizeof sql,
             "UPDATE OR IGNORE \"%s\" SET \"%s\" = ?1 WHERE rowid IN "
             "(SELECT rowid FROM \"%s\" LIMIT 1 OFFSET %u)",
             of, column, of, (unsigned)((uint64_t)number[1] % 20));
    if (sqlite3_prepare_v2(db, sql, -1, &statement, NULL) == SQLITE_OK) {
        put_value(statement, value);
        sqlite3_step(statement);
    }
    sqlite3_finalize(statement);
}

static void change_line(sqlite3 *db, char *line, unsigned char *file)
{
    int64_t number[3] = {0};
    char *word = strsep(&line, " ");
    if (text_equal(word, "byte")) {
        for (int i = 0; i < 2; i++) {
            word = line != NULL ? strsep(&line, " ") : "";
            text_to_int64(word, &number[i]);
        }
        file[(uint64_t)number[0] % sound_size] = (unsigned char)number[1];
        return;
    }
    for (int i = 0; i < 3; i++) {
        text_to_int64(word, &number[i]);
        word = line != NULL ? strsep(&line, " ") : "";
    }
    if (db != NULL) {
        change_row(db, number, word);
    }
}

static void write_file(const unsigned char *bytes)
{
    FILE *file = fopen(path, "wb");
    if (file == NULL || fwrite(bytes, 1, sound_size, file) != sound_size || fclose(file) != 0) {
        fail("it can't be written");
    }
}

/* Bytes first, rows of what that gave then. */
static void change(const uint8_t *bytes, size_t length)
{
    unsigned char *file = malloc(sound_size);
    sqlite3 *db = NULL;
    for (int turn = 0; turn < 2; turn++) {
        char *text = malloc(length + 1), *next = text;
        if (text == NULL || file == NULL) {
            exit(EXIT_FAILURE);
        }
        memcpy(text, bytes, length);
        text[length] = '\0';
        if (turn == 0) {
            memcpy(file, sound, sound_size);
        } else if (sqlite3_open(path, &db) == SQLITE_OK) {
            sqlite3_exec(db,
                         "PRAGMA foreign_keys = OFF; PRAGMA ignore_check_constraints = ON; PRAGMA "
                         "synchronous = OFF; PRAGMA journal_mode = MEMORY; BEGIN",
                         NULL, NULL, NULL);
        }
        for (int i = 0; next != NULL && i < CHANGES_MOST; i++) {
            char *line = strsep(&next, "\n");
            if ((strncmp(line, "byte", 4) == 0) == (turn == 0)) {
                change_line(db, line, file);
            }
        }
        free(text);
        if (turn == 0) {
            write_file(file);
        }
    }
    sqlite3_exec(db, "COMMIT", NULL, NULL, NULL);
    sqlite3_close(db);
    free(file);
}

/* ---- what is read of it ------------------------------------------------------------------------
 */

static void told(void *context, const char *sentence)
{
    int *count = context;
    *count += sentence[0] != '\0';
}

static bool take_command(void *context, const struct command_record *command,
                         struct problem *problem)
{
    (void)context;
    (void)problem;
    return memchr(command->text, '\0', sizeof command->text) != NULL;
}

static void check_record(const struct session_record *record)
{
    for (int i = 0; i < record->hold_count; i++) {
        if (record->hold[i].build < 0 || record->hold[i].build >= record->build_count ||
            record->hold[i].capture >= record->capture_count) {
            fail("a hold that points nowhere is given on");
        }
    }
    for (int i = 0; i < record->capture_count; i++) {
        if (record->capture[i].last_sample > record->last_sample) {
            fail("a capture beyond the samples is given on");
        }
    }
}

static void read_all(struct store *store)
{
    struct session_record *record = malloc(sizeof *record);
    int64_t wrong = 0;
    int count = 0;
    if (record == NULL) {
        exit(EXIT_FAILURE);
    }
    for (int64_t id = 0; store_next_session(store, &id, NULL);) {
        struct problem problem = {PROBLEM_NONE, ""};
        if (store_load(store, id, record, &problem)) {
            check_record(record);
        } else if (problem.sentence[0] == '\0') {
            fail("a session can't be read, and it is not said why");
        }
        const struct sample *samples = NULL;
        size_t got = 0;
        store_samples(store, id, 1, INT64_MAX / 2, &samples, &got, &problem);
        store_commands(store, id, take_command, NULL, &problem);
    }
    store_check(store, told, &count, NULL, &wrong, NULL);
    free(record);
}

/* ---- what is made of it ------------------------------------------------------------------------
 */

static void finding(void *context, const char *sentence)
{
    text_copy(context, SAY_SIZE, sentence);
}

/* Whatever was damaged: what is made of it is sound. */
static void check_made(const char *how)
{
    struct problem problem = {PROBLEM_NONE, ""};
    char found[SAY_SIZE] = "", what[SAY_SIZE + 64];
    int64_t wrong = 0;
    struct store *store = store_open(made, STORE_READ, &problem);
    if (store == NULL || !store_check(store, finding, found, NULL, &wrong, &problem) ||
        wrong != 0) {
        snprintf(what, sizeof what, "%s makes one that is not sound: %s%s", how, found,
                 problem.sentence);
        fail(what);
    }
    store_close(store);
}

static void save_from(struct store *from)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct rescued rescued = {0};
    int count = 0;
    store_remove(made);
    struct store *to = store_open(made, STORE_RECORD, &problem);
    if (to == NULL || !rescue_sessions(from, to, told, &count, NULL, &rescued, &problem)) {
        fail(problem.sentence);
    }
    if (rescued.lost > 0 && count == 0) {
        fail("a session is lost in a rescue, and it is not said");
    }
    store_close(to);
    check_made("a rescue");
}

/* Into one with nothing in it; what was taken is what was there. */
static void take_from(struct store *from)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct store_merged merged = {0};
    int64_t id = 0, taken = 0, differences = 0;
    int count = 0;
    store_remove(made);
    struct store *to = store_open(made, STORE_RECORD, &problem);
    store_close(to);
    to = store_open(made, STORE_WRITE, &problem);
    if (to == NULL) {
        fail(problem.sentence);
    }
    bool done = store_merge(to, from, told, &count, NULL, &merged, &problem);
    if (done ? merged.left_out > 0 && count == 0 : problem.sentence[0] == '\0') {
        fail("a session is left out of a merge, and it is not said why");
    }
    if (done && merged.taken == 1 && store_next_session(from, &id, NULL) &&
        store_next_session(to, &taken, NULL) &&
        (!store_compare_session(from, id, to, taken, told, &count, &differences, &problem) ||
         differences > 0)) {
        fail("a merge takes in another session than there is");
    }
    store_close(to);
    check_made("a merge");
}

void fuzz_store(const uint8_t *bytes, size_t length)
{
    struct problem problem = {PROBLEM_NONE, ""};
    int count = 0;
    if (sound == NULL) {
        prepare();
    }
    change(bytes, length);
    struct store *store = store_open(path, STORE_READ, &problem);
    if (store == NULL && problem.sentence[0] == '\0') {
        fail("it is not opened, and it is not said why");
    }
    if (store != NULL) {
        read_all(store);
        take_from(store);
    }
    store_close(store);
    store = store_open_damaged(path, told, &count, NULL, &problem);
    if (store != NULL) {
        read_all(store);
        save_from(store);
    }
    store_close(store);
}
