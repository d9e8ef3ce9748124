/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "session_row.h"

#include "base/clock.h"
#include "base/text.h"

#include <math.h>
#include <string.h>

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

static bool write_matters(struct store *store, const struct comparison_settings *settings,
                          struct problem *problem)
{
    for (int channel = 0; channel < CHANNELS_MAX; channel++) {
        struct row row;
        if (!row_upsert(store, TABLE_MATTERS, &row, problem)) {
            return false;
        }
        row_put_integer(&row, store->now.session_id);
        row_put_place(&row, channel);
        row_put_real(&row, settings->matters_mm[channel]);
        if (!row_write(&row, problem)) {
            return false;
        }
    }
    return true;
}

bool session_row_write_limits(struct store *store, int64_t session_id,
                              const struct bike_limits *limits, struct problem *problem)
{
    struct row row;
    if (!row_clear(store, TABLE_PART_LIMIT, &row, problem)) {
        return false;
    }
    row_put_integer(&row, session_id);
    if (!row_write(&row, problem)) {
        return false;
    }
    for (int limit = 0; limit < BIKE_LIMITS; limit++) {
        if (!isfinite(limits->least[limit]) && !isfinite(limits->most[limit])) {
            continue;
        }
        if (!row_upsert(store, TABLE_PART_LIMIT, &row, problem)) {
            return false;
        }
        row_put_integer(&row, session_id);
        row_put_text(&row, bike_limit_key(limit));
        row_put_real(&row, limits->least[limit]);
        row_put_real(&row, limits->most[limit]);
        row_put_text(&row, bike_limit_unit(limit));
        if (!row_write(&row, problem)) {
            return false;
        }
    }
    return true;
}

static bool insert_session(struct store *store, const struct session_header *header,
                           struct problem *problem)
{
    static const char sql[] =
        "INSERT INTO session (uuid, started, seed, version, ended, baseline_setup, first_n, last_n,"
        " sample_count) VALUES (?, ?, ?, ?, ?, ?, ?, ?, 0)";
    struct row row;
    char started[CLOCK_TEXT_SIZE];
    int64_t first_n;
    if (!next_free_n(store, &first_n, problem) || !row_prepare(store, sql, &row, problem)) {
        return false;
    }
    clock_wall_text(started, header->started_ms);
    row_put_uuid(&row, &header->uuid);
    row_put_text(&row, started);
    row_put_integer(&row, (int64_t)header->seed);
    row_put_text(&row, header->version);
    row_put_integer(&row, header->ended);
    row_put_integer(&row, header->settings.baseline_setup);
    row_put_integer(&row, first_n);
    row_put_integer(&row, first_n - 1);
    if (!row_write(&row, problem)) {
        return false;
    }
    store->now.session_id = sqlite3_last_insert_rowid(store->db);
    store->now.first_n = first_n;
    store->now.last_n = first_n - 1;
    store->now.sample_count = 0;
    store->now.channel_count = CHANNELS_MAX;
    return true;
}

static bool update_session(struct store *store, const struct session_header *header,
                           struct problem *problem)
{
    static const char sql[] =
        "UPDATE session SET started = ?, seed = ?, version = ?, ended = ?, baseline_setup = ?,"
        " trunk_slope_deg = ?, chosen_setup = ? WHERE id = ?";
    struct row row;
    char started[CLOCK_TEXT_SIZE];
    if (!row_prepare(store, sql, &row, problem)) {
        return false;
    }
    clock_wall_text(started, header->started_ms);
    row_put_text(&row, started);
    row_put_integer(&row, (int64_t)header->seed);
    row_put_text(&row, header->version);
    row_put_integer(&row, header->ended);
    row_put_integer(&row, header->settings.baseline_setup);
    row_put_real(&row, header->settings.trunk_slope_deg);
    row_put_integer(&row, header->settings.chosen_setup);
    row_put_integer(&row, store->now.session_id);
    return row_write(&row, problem) && write_matters(store, &header->settings, problem) &&
           session_row_write_limits(store, store->now.session_id, &header->limits, problem);
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
    return (id != 0 || insert_session(store, header, problem)) &&
           update_session(store, header, problem);
}

/* ---- back ------------------------------------------------------------------------------------ */

bool session_row_read(struct store *store, int64_t id, struct session_record *record,
                      struct problem *problem)
{
    static const char sql[] =
        "SELECT uuid, started, seed, version, ended, baseline_setup, trunk_slope_deg,"
        " chosen_setup, last_n - first_n + 1, (SELECT rig_us FROM sample WHERE n = last_n AND "
        "last_n >= first_n)"
        " FROM session WHERE id = ?";
    struct row row;
    bool failed = false;
    char started[CLOCK_TEXT_SIZE];
    int64_t started_us = 0;
    if (!row_prepare(store, sql, &row, problem)) {
        return false;
    }
    row_put_integer(&row, id);
    if (!row_next(&row, &failed, problem)) {
        return failed ? false
                      : problem_set(problem, "there is no session %lld in %s", (long long)id,
                                    store->path);
    }
    row_take_uuid(&row, &record->uuid);
    row_take_text(&row, started, sizeof started);
    record->seed = (uint64_t)row_take_integer(&row);
    row_take_text(&row, record->version, sizeof record->version);
    record->ended = row_take_integer(&row) != 0;
    record->settings.baseline_setup = (int)row_take_integer(&row);
    record->settings.trunk_slope_deg = row_take_real(&row, (double)NAN);
    record->settings.chosen_setup = (int)row_take_integer(&row);
    record->last_sample = row_take_integer(&row);
    record->last_time_us = row_take_integer(&row);
    row_end(&row);
    if (!clock_parse_us(started, strlen(started), &started_us)) {
        return problem_set(problem, "%s: session %lld began at '%s', which is no time", store->path,
                           (long long)id, started);
    }
    record->started_ms = started_us / 1000;
    return true;
}

bool session_row_read_matters(struct row *row, struct session_record *record,
                              struct problem *problem)
{
    int channel = row_take_place(row);
    if (channel < 0 || channel >= CHANNELS_MAX) {
        return problem_set(problem, "%s: a row belongs to channel %d, which is not there",
                           row->store->path, channel + 1);
    }
    record->settings.matters_mm[channel] = row_take_real(row, (double)NAN);
    return true;
}

/* A key that this program doesn't know (a later one's) is passed over. */
bool session_row_read_limit(struct row *row, struct session_record *record, struct problem *problem)
{
    char key[64];
    (void)problem;
    row_take_text(row, key, sizeof key);
    int limit = bike_limit_find(key);
    if (limit >= 0) {
        record->limits.least[limit] = row_take_real(row, (double)NAN);
        record->limits.most[limit] = row_take_real(row, (double)NAN);
    }
    return true;
}
