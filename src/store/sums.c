/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "sums.h"

#include "damage.h"

#include "base/text.h"
#include "record/stored_sum.h"

#include <stdlib.h>
#include <string.h>

#define SAMPLES_A_TIME (32 * SUM_STRETCH)

const char *const store_sum_tables_sql[] = {
    "CREATE TABLE record_sum (session_id INTEGER NOT NULL REFERENCES session(id) ON DELETE CASCADE,"
    " kind TEXT NOT NULL, place INTEGER NOT NULL CHECK (place >= 1), sum INTEGER NOT NULL,"
    " PRIMARY KEY (session_id, kind, place)) STRICT, WITHOUT ROWID",
    "CREATE TABLE sample_sum (session_id INTEGER NOT NULL REFERENCES session(id) ON DELETE CASCADE,"
    " stretch INTEGER NOT NULL CHECK (stretch >= 1), sum INTEGER NOT NULL,"
    " PRIMARY KEY (session_id, stretch)) STRICT, WITHOUT ROWID",
    NULL,
};

static const char put_record[] =
    "INSERT INTO record_sum (session_id, kind, place, sum) VALUES (?, ?, ?, ?)"
    " ON CONFLICT (session_id, kind, place) DO UPDATE SET sum = excluded.sum";
static const char put_stretch[] =
    "INSERT INTO sample_sum (session_id, stretch, sum) VALUES (?, ?, ?)"
    " ON CONFLICT (session_id, stretch) DO UPDATE SET sum = excluded.sum";

bool sum_write_record(struct store *store, enum stored_table_id table, int64_t session_id,
                      int place, const void *record, struct problem *problem)
{
    struct row row;
    if (!row_prepare(store, put_record, &row, problem)) {
        return false;
    }
    row_put_integer(&row, session_id);
    row_put_text(&row, stored_tables[table]->name);
    row_put_integer(&row, (int64_t)place + 1);
    row_put_integer(&row, stored_sum(table, record));
    return row_write(&row, problem);
}

bool sum_write_stretch(struct store *store, int64_t session_id, int64_t number, uint64_t sum,
                       struct problem *problem)
{
    struct row row;
    if (!row_prepare(store, put_stretch, &row, problem)) {
        return false;
    }
    row_put_integer(&row, session_id);
    row_put_integer(&row, (number - 1) / SUM_STRETCH + 1);
    row_put_integer(&row, stored_sum_fold(sum));
    return row_write(&row, problem);
}

/* ---- compared ----------------------------------------------------------------------------------
 */

bool sum_is_kept(struct store *store, int64_t session_id, bool *is, struct problem *problem)
{
    int64_t first = 0;
    bool done =
        store_number(store, "SELECT 1 FROM record_sum WHERE session_id = ? AND kind = 'session'",
                     session_id, &first, problem);
    *is = first != 0;
    return done;
}

struct comparing {
    struct store *store;
    int64_t session_id;
    struct session_record *record;
    const struct session_header *header;
    struct record_faults *faults;
    int seen[STORED_TABLES]; /* sums of records of each table that are there */
};

static int table_of(const char *name)
{
    int id = STORED_TABLES - 1;
    while (id >= 0 && !text_equal(stored_tables[id]->name, name)) {
        id--;
    }
    return id;
}

static void *member(struct comparing *comparing, size_t offset)
{
    return (char *)comparing->record + offset;
}

/* The session's own row, its rider, its bike. */
static void compare_one(struct comparing *comparing, enum stored_table_id id, uint32_t sum)
{
    const struct stored_table *table = stored_tables[id];
    if (id == TABLE_SESSION) {
        if (stored_sum(id, comparing->header) != sum) {
            damage_tell(comparing->store, comparing->session_id,
                        "its own row, what matters or its limits are not what was written");
        }
        return;
    }
    bool *there = member(comparing, table->count_offset);
    if (record_fault_is_later(comparing->faults, id, 0)) {
        return;
    }
    if (!*there || stored_sum(id, member(comparing, table->offset)) != sum) {
        damage_tell(comparing->store, comparing->session_id, "its %s %s", table->what,
                    *there ? "is not what was written: it is left out" : "is gone");
        *there = false;
    }
}

static void compare_record(struct comparing *comparing, enum stored_table_id id, int64_t place,
                           uint32_t sum)
{
    const struct stored_table *table = stored_tables[id];
    int count = *(const int *)member(comparing, table->count_offset);
    if (place < 1 || place > count) {
        damage_tell(comparing->store, comparing->session_id, "%s of place %lld is gone",
                    table->what, (long long)place);
        return;
    }
    comparing->seen[id]++;
    const void *record = member(comparing, table->offset + (size_t)(place - 1) * table->size);
    if (!record_fault_is_later(comparing->faults, id, (int)place - 1) &&
        stored_sum(id, record) != sum) {
        record_fault_other(comparing->faults, id, (int)place - 1);
    }
}

/* A record that nobody summed was not written by this program. */
static void look_for_more(struct comparing *comparing)
{
    for (int id = 0; id < TABLE_COMMAND; id++) {
        const struct stored_table *table = stored_tables[id];
        if (table->shape == SHAPE_RECORD &&
            *(const int *)member(comparing, table->count_offset) > comparing->seen[id]) {
            damage_tell(comparing->store, comparing->session_id,
                        "%d rows of %s have no checksum: they were not written by this program",
                        *(const int *)member(comparing, table->count_offset) - comparing->seen[id],
                        table->name);
        }
    }
}

bool sum_compare_records(struct store *store, int64_t session_id, struct session_record *record,
                         const struct session_header *header, struct record_faults *faults,
                         struct problem *problem)
{
    static const char sql[] = "SELECT kind, place, sum FROM record_sum WHERE session_id = ?"
                              " AND kind <> 'command' LIMIT 10000";
    struct comparing comparing = {store, session_id, record, header, faults, {0}};
    struct row row;
    bool failed = false, kept = false;
    if (!sum_is_kept(store, session_id, &kept, problem) ||
        !row_prepare(store, sql, &row, problem)) {
        return store_is_corrupt(store);
    }
    row_put_integer(&row, session_id);
    while (kept && row_next(&row, &failed, problem)) {
        char kind[64];
        row_take_text(&row, kind, sizeof kind);
        int id = table_of(kind);
        int64_t place = row_take_integer(&row);
        uint32_t sum = (uint32_t)row_take_integer(&row);
        if (id < 0 || id == TABLE_COMMAND || stored_tables[id]->shape == SHAPE_OWNED) {
            damage_tell(store, session_id, "there is a checksum of what is not there");
        } else if (id != TABLE_SESSION && stored_tables[id]->shape == SHAPE_RECORD) {
            compare_record(&comparing, (enum stored_table_id)id, place, sum);
        } else {
            compare_one(&comparing, (enum stored_table_id)id, sum);
        }
    }
    if (kept && !failed) {
        look_for_more(&comparing);
    }
    return !failed || store_is_corrupt(store);
}

bool sum_compare_command(struct store *store, int64_t session_id,
                         const struct command_record *command, int *same, struct problem *problem)
{
    static const char sql[] = "SELECT sum FROM record_sum WHERE session_id = ? AND"
                              " kind = 'command' AND place = ?";
    struct row row;
    bool failed = false;
    *same = -1;
    if (!row_prepare(store, sql, &row, problem)) {
        return false;
    }
    row_put_integer(&row, session_id);
    row_put_integer(&row, command->ordinal);
    if (row_next(&row, &failed, problem)) {
        *same = (uint32_t)row_take_integer(&row) == stored_sum(TABLE_COMMAND, command);
        row_end(&row);
    }
    return !failed;
}

bool sum_read_stretch(struct store *store, int64_t session_id, int64_t stretch, uint32_t *sum,
                      bool *there, struct problem *problem)
{
    static const char sql[] = "SELECT sum FROM sample_sum WHERE session_id = ? AND stretch = ?";
    struct row row;
    bool failed = false;
    *there = false;
    if (!row_prepare(store, sql, &row, problem)) {
        return false;
    }
    row_put_integer(&row, session_id);
    row_put_integer(&row, stretch);
    if (row_next(&row, &failed, problem)) {
        *sum = (uint32_t)row_take_integer(&row);
        *there = true;
        row_end(&row);
    }
    return !failed || store_is_corrupt(store);
}

/* ---- into another store ------------------------------------------------------------------------
 */

static bool copy_rows(struct store *from, int64_t from_id, const char *select, struct store *into,
                      int64_t into_id, const char *insert, struct problem *problem)
{
    struct row out, in;
    bool failed = false;
    if (!row_prepare(from, select, &out, problem)) {
        return false;
    }
    row_put_integer(&out, from_id);
    while (row_next(&out, &failed, problem)) {
        if (!row_prepare(into, insert, &in, problem)) {
            row_end(&out);
            return false;
        }
        row_put_integer(&in, into_id);
        for (int i = 0; i < sqlite3_column_count(out.statement); i++) {
            sqlite3_bind_value(in.statement, i + 2, sqlite3_column_value(out.statement, i));
        }
        if (!row_write(&in, problem)) {
            row_end(&out);
            return false;
        }
    }
    return !failed;
}

bool sum_copy(struct store *from, int64_t from_id, struct store *into, int64_t into_id,
              struct problem *problem)
{
    static const char records[] = "SELECT kind, place, sum FROM record_sum WHERE session_id = ?";
    static const char stretches[] = "SELECT stretch, sum FROM sample_sum WHERE session_id = ?";
    return copy_rows(from, from_id, records, into, into_id, put_record, problem) &&
           copy_rows(from, from_id, stretches, into, into_id, put_stretch, problem);
}

/* ---- of a store of before ----------------------------------------------------------------------
 */

struct making {
    struct store *store;
    int64_t session_id;
};

static bool sum_command(void *context, const struct command_record *command,
                        struct problem *problem)
{
    struct making *making = context;
    return sum_write_record(making->store, TABLE_COMMAND, making->session_id,
                            (int)command->ordinal - 1, command, problem);
}

static bool sum_samples(struct store *store, int64_t id, int64_t last, struct problem *problem)
{
    for (int64_t first = 1; first <= last; first += SAMPLES_A_TIME) {
        const struct sample *samples = NULL;
        size_t count = 0;
        uint64_t sum = 0;
        if (!store_samples(store, id, first, first + SAMPLES_A_TIME - 1, &samples, &count,
                           problem)) {
            return false;
        }
        for (size_t i = 0; i < count; i++) {
            int64_t number = samples[i].number;
            sum = stored_sum_sample(number % SUM_STRETCH == 1 ? 0 : sum, &samples[i]);
            if ((number % SUM_STRETCH == 0 || i + 1 == count) &&
                !sum_write_stretch(store, id, number, sum, problem)) {
                return false;
            }
        }
    }
    return true;
}

static bool sum_records(struct store *store, int64_t id, struct session_record *record,
                        struct problem *problem)
{
    for (int table = 0; table < TABLE_COMMAND; table++) {
        const struct stored_table *of = stored_tables[table];
        const char *at = (const char *)record + of->offset;
        int count = 0;
        if (table != TABLE_SESSION && of->shape == SHAPE_RECORD) {
            count = *(const int *)(const void *)((const char *)record + of->count_offset);
        } else if (table != TABLE_SESSION && of->shape == SHAPE_ONE) {
            count = *(const bool *)((const char *)record + of->count_offset) ? 1 : 0;
        }
        for (int i = 0; i < count; i++) {
            if (!sum_write_record(store, (enum stored_table_id)table, id, i,
                                  at + (size_t)i * of->size, problem)) {
                return false;
            }
        }
    }
    return true;
}

/* A session that is damaged gets none: what is wrong with it is told whenever it is read. */
static bool make_of(struct store *store, int64_t id, struct session_record *record,
                    struct problem *problem)
{
    struct session_header header;
    struct making making = {store, id};
    struct problem why = {0};
    if (!store_execute(store, "SAVEPOINT sums", "bringing up", problem)) {
        return false;
    }
    bool done = store_load(store, id, record, &why) &&
                store_commands(store, id, sum_command, &making, &why) &&
                sum_samples(store, id, record->last_sample, &why) &&
                sum_records(store, id, record, &why);
    if (done) {
        session_record_header(record, &header);
        done = sum_write_record(store, TABLE_SESSION, id, 0, &header, &why);
    }
    if (store->stopped) {
        return problem_set(problem, "stopped: %s was left as it was", store->path);
    }
    return store_execute(store, done ? "RELEASE sums" : "ROLLBACK TO sums; RELEASE sums",
                         "bringing up", problem);
}

bool store_sums_make(struct store *store, struct problem *problem)
{
    struct session_record *record = malloc(sizeof *record);
    int64_t id = 0;
    bool done = true;
    if (record == NULL) {
        return problem_set(problem, "there is no memory for a session");
    }
    while (done && store_next_session(store, &id, NULL)) {
        done = make_of(store, id, record, problem);
    }
    free(record);
    return done;
}
