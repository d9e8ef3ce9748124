/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_STORE_FIXTURE_H
#define HOLDLINE_TESTS_STORE_FIXTURE_H

#include "support/full_session.h"
#include "support/test_main.h"

#include "store/care.h"

#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* A new folder for each test, and what is done in it. Each test is a process of its own. */

static char folder[128], path[256];
static struct problem problem;

#define MUST(call)                                                                                 \
    do {                                                                                           \
        if (!(call)) {                                                                             \
            ck_abort_msg("%s: %s", #call, problem.sentence);                                       \
        }                                                                                          \
    } while (0)

static inline void make_folder(void)
{
    snprintf(folder, sizeof folder, "/tmp/holdline-store-XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/test.db", folder);
}

static inline void remove_folder(void)
{
    char command[256];
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    ck_assert_int_eq(system(command), 0);
}

static inline struct store *open_at(const char *file, enum store_mode mode)
{
    struct store *store = store_open(file, mode, &problem);
    if (store == NULL) {
        ck_abort_msg("%s", problem.sentence);
    }
    return store;
}

static inline struct store *open_store(enum store_mode mode)
{
    return open_at(path, mode);
}

static inline void write_effect(void *context, const struct effect *effect)
{
    struct store *store = context;
    MUST(store_write_effect(store, effect, &problem));
}

static inline void write_samples(struct store *store, int64_t first, int64_t last)
{
    for (int64_t number = first; number <= last; number++) {
        struct sample sample;
        full_session_sample(number, 2, 50.0, &sample);
        MUST(store_write_samples(store, &sample, 1, &problem));
    }
}

/* The full session with 900 samples and 3 commands, in one commit. */
static inline void write_session(struct store *store, const struct session_record *record)
{
    MUST(store_begin(store, &problem));
    full_session_effects(record, 3, write_effect, store);
    write_samples(store, 1, 900);
    MUST(store_commit(store, &problem));
}

/* A store with one session of each seed, at file. */
static inline void make_store(const char *file, unsigned first_seed, unsigned last_seed)
{
    for (unsigned seed = first_seed; seed <= last_seed; seed++) {
        struct session_record *record = full_session(seed);
        struct store *store = open_at(file, STORE_RECORD);
        write_session(store, record);
        store_close(store);
        free(record);
    }
}

/* The invented sessions have ended with a hold that is still running: it is cut short, as a program
 * would write it. */
static inline void end_running_holds(void)
{
    struct session_record *record = malloc(sizeof *record);
    struct effect *effect = calloc(1, sizeof *effect);
    struct store *store = open_store(STORE_RECORD);
    ck_assert(record != NULL && effect != NULL);
    effect->kind = EFFECT_HOLD;
    for (int64_t id = 0; store_next_session(store, &id, NULL);) {
        MUST(store_load(store, id, record, &problem));
        MUST(store_go_on(store, id, &problem));
        MUST(store_begin(store, &problem));
        for (int i = 0; i < record->hold_count; i++) {
            if (record->hold[i].status == HOLD_RUNNING) {
                effect->index = i;
                effect->record.hold = record->hold[i];
                effect->record.hold.status = HOLD_CUT_SHORT;
                MUST(store_write_effect(store, effect, &problem));
            }
        }
        MUST(store_commit(store, &problem));
    }
    store_close(store);
    free(effect);
    free(record);
}

/* ---- what was written is what is read ---- */

#define SAME(member)                                                                               \
    ck_assert_msg(memcmp(&a->member, &b->member, sizeof a->member) == 0, "differs: " #member)

static inline void compare_records(const struct session_record *a, const struct session_record *b)
{
    SAME(uuid);
    SAME(started_ms);
    SAME(seed);
    SAME(version);
    SAME(ended);
    SAME(rider);
    SAME(bike);
    SAME(settings);
    SAME(limits);
    SAME(placing_count);
    SAME(placing);
    SAME(setup_count);
    SAME(setup);
    SAME(build_count);
    SAME(build);
    SAME(tie_reading_count);
    SAME(tie_reading);
    SAME(capture_count);
    SAME(capture);
    SAME(target_count);
    SAME(target);
    SAME(band_count);
    SAME(band);
    SAME(hold_count);
    SAME(hold);
    SAME(mark_count);
    SAME(mark);
    SAME(rating_count);
    SAME(rating);
    SAME(note_count);
    SAME(note);
    SAME(check_count);
    for (int i = 0; i < a->check_count; i++) {
        const struct check_record *x = &a->check[i], *y = &b->check[i];
        ck_assert_mem_eq(&x->uuid, &y->uuid, sizeof x->uuid);
        ck_assert(x->kind == y->kind && x->placing == y->placing && x->build == y->build);
        ck_assert(x->channel == y->channel && x->capture == y->capture);
        ck_assert(x->phase_count == y->phase_count && x->verdict == y->verdict);
        ck_assert_str_eq(x->words, y->words);
        for (int p = 0; p < CHECK_PHASES_MAX; p++) {
            ck_assert(x->asked_mm[p] == y->asked_mm[p] ||
                      (isnan(x->asked_mm[p]) && isnan(y->asked_mm[p])));
        }
        ck_assert_int_eq(x->number_count, y->number_count);
        for (int n = 0; n < x->number_count; n++) {
            ck_assert(x->number[n].quantity == y->number[n].quantity &&
                      x->number[n].channel == y->number[n].channel &&
                      x->number[n].phase == y->number[n].phase &&
                      x->number[n].value == y->number[n].value);
        }
    }
    ck_assert(a->has_rider == b->has_rider && a->has_bike == b->has_bike);
}

static inline void check_loaded(struct store *store, int64_t id,
                                const struct session_record *record)
{
    struct session_record *loaded = malloc(sizeof *loaded);
    ck_assert_ptr_nonnull(loaded);
    MUST(store_load(store, id, loaded, &problem));
    compare_records(record, loaded);
    ck_assert_int_eq(loaded->last_sample, 900);
    ck_assert_int_eq(loaded->last_time_us, 17980000);
    free(loaded);
}

static inline int64_t number_at(const char *file, const char *sql)
{
    sqlite3 *db = NULL;
    sqlite3_stmt *statement = NULL;
    ck_assert_int_eq(sqlite3_open_v2(file, &db, SQLITE_OPEN_READONLY, NULL), SQLITE_OK);
    ck_assert_msg(sqlite3_prepare_v2(db, sql, -1, &statement, NULL) == SQLITE_OK, "%s: %s", sql,
                  sqlite3_errmsg(db));
    ck_assert_msg(sqlite3_step(statement) == SQLITE_ROW, "no row: %s", sql);
    int64_t value = sqlite3_column_int64(statement, 0);
    sqlite3_finalize(statement);
    sqlite3_close(db);
    return value;
}

static inline int64_t number_of(const char *sql)
{
    return number_at(path, sql);
}

static inline void run_sql(const char *sql)
{
    sqlite3 *db = NULL;
    char *message = NULL;
    ck_assert_int_eq(sqlite3_open(path, &db), SQLITE_OK);
    ck_assert_msg(sqlite3_exec(db, sql, NULL, NULL, &message) == SQLITE_OK, "%s", message);
    sqlite3_close(db);
}

#endif
