/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "session_row.h"

#include "damage.h"
#include "fields.h"
#include "sums.h"

/* ---- into the store ---------------------------------------------------------------------------
 */

/* The samples of a new session follow all others; the place is taken when the first are written, so
 * two sessions without samples don't share one. */
static bool next_free_n(struct store *store, int64_t *n, struct problem *problem)
{
    if (!store_number(store, "SELECT max(n) FROM sample", 0, n, problem)) {
        return false;
    }
    (*n)++;
    return true;
}

static bool find_uuid(struct store *store, const struct uuid *uuid, int64_t *id,
                      struct problem *problem)
{
    struct row row;
    bool failed = false;
    *id = 0;
    if (!row_prepare(store, "SELECT id FROM session WHERE uuid = ?", &row, problem)) {
        return false;
    }
    row_put_uuid(&row, uuid);
    if (row_next(&row, &failed, problem)) {
        *id = row_take_integer(&row);
        row_end(&row);
    }
    return !failed;
}

/* A row that the update fills. */
static bool insert_session(struct store *store, const struct uuid *uuid, struct problem *problem)
{
    static const char sql[] =
        "INSERT INTO session (uuid, started, seed, version, ended, baseline_setup, first_n, last_n,"
        " sample_count) VALUES (?, '1970-01-01T00:00:00.000Z', 0, '', 0, 1, ?, ?, 0)";
    struct row row;
    int64_t first_n;
    if (!next_free_n(store, &first_n, problem) || !row_prepare(store, sql, &row, problem)) {
        return false;
    }
    row_put_uuid(&row, uuid);
    row_put_integer(&row, first_n);
    row_put_integer(&row, first_n - 1);
    if (!row_write(&row, problem)) {
        return false;
    }
    store->now.session_id = sqlite3_last_insert_rowid(store->db);
    store->now.first_n = first_n;
    store->now.last_n = first_n - 1;
    store->now.sample_count = 0;
    store->now.sum = 0;
    store->now.channel_count = CHANNELS_MAX;
    return true;
}

static bool update_session(struct store *store, const struct session_header *header,
                           struct problem *problem)
{
    const struct stored_table *table = stored_tables[TABLE_SESSION];
    struct row row;
    if (!row_update_session(store, &row, problem)) {
        return false;
    }
    for (int i = 0; i < table->field_count; i++) {
        field_put(&row, &table->field[i], header, 0);
    }
    row_put_integer(&row, store->now.session_id);
    return row_write(&row, problem) &&
           store_write_all_owned(store, TABLE_SESSION, 0, header, problem) &&
           sum_write_record(store, TABLE_SESSION, store->now.session_id, 0, header, problem);
}

bool session_row_write(struct store *store, const struct session_header *header,
                       struct problem *problem)
{
    int64_t id = 0;
    if (!find_uuid(store, &header->uuid, &id, problem)) {
        return false;
    }
    if (id != 0 && id != store->now.session_id) {
        store->record_refused = true;
        return problem_set(
            problem,
            "this session is in %s already, as number %lld: nothing is written over. "
            "Give it another start or seed, or another store",
            store->path, (long long)id);
    }
    return (id != 0 || insert_session(store, &header->uuid, problem)) &&
           update_session(store, header, problem);
}

/* ---- back ------------------------------------------------------------------------------------ */

#define LEAST_ROW_BYTES 6 /* that a sample takes in the file */

/* More samples than the file has bytes for are none. */
static bool limit_extent(struct store *store, int64_t id, int64_t *first_n, int64_t *last_n,
                         struct problem *problem)
{
    int64_t pages = 0, page_size = 0;
    if (!store_number(store, "PRAGMA page_count", 0, &pages, problem) ||
        !store_number(store, "PRAGMA page_size", 0, &page_size, problem)) {
        return false;
    }
    int64_t most = pages * page_size / LEAST_ROW_BYTES;
    if (*first_n < 1 || *first_n > INT64_MAX / 4 || *last_n < *first_n - 1 ||
        *last_n - *first_n >= most) {
        damage_tell(store, id, "the stretch of its samples can't be true: none of them is used");
        *first_n = 1;
        *last_n = 0;
    }
    return true;
}

bool session_extent(struct store *store, int64_t id, int64_t *first_n, int64_t *last_n,
                    struct problem *problem)
{
    static const char sql[] = "SELECT first_n, last_n FROM session WHERE id = ?";
    struct row row;
    bool failed = false;
    if (!row_prepare(store, sql, &row, problem)) {
        return false;
    }
    row_put_integer(&row, id);
    if (!row_next(&row, &failed, problem)) {
        return !failed &&
               problem_set(problem, "there is no session %lld in %s", (long long)id, store->path);
    }
    *first_n = row_take_integer(&row);
    *last_n = row_take_integer(&row);
    row_end(&row);
    return limit_extent(store, id, first_n, last_n, problem);
}

static bool read_extent(struct store *store, int64_t id, struct session_record *record,
                        struct problem *problem)
{
    static const char sql[] =
        "SELECT n, rig_us FROM sample WHERE n BETWEEN ? AND ? ORDER BY n DESC LIMIT 1";
    int64_t first_n = 1, last_n = 0, count = 0;
    struct row row;
    bool failed = false;
    record->last_sample = record->last_time_us = 0;
    if (!session_extent(store, id, &first_n, &last_n, problem) ||
        !store_number(store, "SELECT sample_count FROM session WHERE id = ?", id, &count,
                      problem) ||
        !row_prepare(store, sql, &row, problem)) {
        return false;
    }
    row_put_integer(&row, first_n);
    row_put_integer(&row, last_n);
    if (row_next(&row, &failed, problem)) {
        record->last_sample = row_take_integer(&row) - first_n + 1;
        record->last_time_us = row_take_integer(&row);
        row_end(&row);
    } else if (failed && !store_is_corrupt(store)) {
        return false;
    }
    long long length = last_n - first_n + 1;
    if (count != length) {
        damage_tell(store, id, "it says %lld samples, its stretch is of %lld", (long long)count,
                    length);
    }
    if (record->last_sample < length) {
        damage_tell(store, id, "of %lld samples none is there behind number %lld", length,
                    (long long)record->last_sample);
    }
    return true;
}

bool session_row_read(struct store *store, int64_t id, struct session_header *header,
                      struct session_record *record, struct problem *problem)
{
    const struct stored_table *table = stored_tables[TABLE_SESSION];
    struct row row;
    bool failed = false, done = true;
    char why[FIELD_WHY_SIZE];
    if (!row_select_session(store, &row, problem)) {
        return false;
    }
    row_put_integer(&row, id);
    if (!row_next(&row, &failed, problem)) {
        return failed ? false
                      : problem_set(problem, "there is no session %lld in %s", (long long)id,
                                    store->path);
    }
    for (int i = 0; done && i < table->field_count; i++) {
        const struct stored_field *field = &table->field[i];
        if (field_take(&row, field, header, 0, INT64_MAX, why) == FIELD_TAKEN) {
            continue;
        }
        damage_tell(store, id, "%s", why);
        /* without these it is no session */
        done = field->type != STORED_UUID && field->type != STORED_MOMENT;
    }
    row_end(&row);
    if (!done) {
        return problem_set(problem, "session %lld in %s is damaged: %s", (long long)id, store->path,
                           why);
    }
    return read_extent(store, id, record, problem);
}
