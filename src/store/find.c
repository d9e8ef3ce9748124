/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "sums.h"

#include "base/clock.h"
#include "base/nearest.h"
#include "base/text.h"
#include "record/stored_sum.h"
#include "store/results.h"

#include <stdio.h>
#include <string.h>

bool store_list(struct store *store, store_session_sink *sink, void *context,
                struct problem *problem)
{
    static const char sql[] = "SELECT session, uuid, started, rider_code, rider, bike, seconds,"
                              " samples, setups, holds, (SELECT count(*) FROM run r WHERE"
                              " r.session_id = v.session AND NOT r.undone), ended,"
                              " (SELECT seed FROM session s WHERE s.id = v.session)"
                              " FROM session_sheet v"
                              " ORDER BY started DESC, session DESC";
    struct row row;
    struct store_session session;
    bool failed = false, wanted = true;
    char started[CLOCK_TEXT_SIZE];
    if (!row_prepare(store, sql, &row, problem)) {
        return false;
    }
    while (wanted && row_next(&row, &failed, problem)) {
        int64_t started_us = 0;
        memset(&session, 0, sizeof session);
        session.id = row_take_integer(&row);
        row_take_uuid(&row, &session.uuid);
        row_take_text(&row, started, sizeof started);
        row_take_text(&row, session.rider_code, sizeof session.rider_code);
        row_take_text(&row, session.rider, sizeof session.rider);
        row_take_text(&row, session.bike, sizeof session.bike);
        session.length_s = row_take_real(&row, 0.0);
        session.samples = row_take_integer(&row);
        session.setups = (int)row_take_integer(&row);
        session.holds = (int)row_take_integer(&row);
        session.runs = (int)row_take_integer(&row);
        session.ended = row_take_integer(&row) != 0;
        session.seed = (uint64_t)row_take_integer(&row);
        clock_parse_us(started, strlen(started), &started_us);
        session.started_ms = started_us / 1000;
        wanted = sink(context, &session);
    }
    if (!wanted) {
        row_end(&row);
    }
    return !failed;
}

/* The first id that sql gives for one text; *more tells that there is another. */
static bool find_text(struct store *store, const char *sql, const char *text, int64_t *id,
                      bool *more, struct problem *problem)
{
    struct row row;
    bool failed = false;
    *id = 0;
    *more = false;
    if (!row_prepare(store, sql, &row, problem)) {
        return false;
    }
    row_put_text(&row, text);
    if (row_next(&row, &failed, problem)) {
        *id = row_take_integer(&row);
        *more = row_next(&row, &failed, problem);
        if (*more) {
            row_end(&row);
        }
    }
    return !failed;
}

/* The start of a uuid: hexadecimal digits and hyphens, four or more. As the bounds of a range, so
 * that the index is used. */
static bool is_uuid_start(const char *words)
{
    size_t length = strlen(words);
    return length >= 4 && length < UUID_TEXT_SIZE &&
           strspn(words, "0123456789abcdefABCDEF-") == length;
}

/* '2026-01-10': the sessions that began on this day of the reader's. */
static bool find_day(struct store *store, const char *words, int64_t *id, struct problem *problem)
{
    char whole[64], from[CLOCK_TEXT_SIZE], to[CLOCK_TEXT_SIZE];
    int64_t midnight_us = 0;
    bool failed = false;
    struct row row;
    snprintf(whole, sizeof whole, "%.20sT00:00:00Z", words);
    if (strlen(words) != 10 || !clock_parse_us(whole, strlen(whole), &midnight_us)) {
        return true;
    }
    clock_wall_text(from, clock_local_day_ms(midnight_us / 1000));
    clock_wall_text(to, clock_local_day_ms(midnight_us / 1000 + CLOCK_DAY_MS));
    if (!row_prepare(store,
                     "SELECT id FROM session WHERE started >= ? AND started < ?"
                     " ORDER BY started, id",
                     &row, problem)) {
        return false;
    }
    row_put_text(&row, from);
    row_put_text(&row, to);
    char all[200] = "";
    size_t used = 0;
    int count = 0;
    while (row_next(&row, &failed, problem)) {
        *id = row_take_integer(&row);
        text_append(all, sizeof all, &used, "%s%lld", count > 0 ? ", " : "", (long long)*id);
        count++;
    }
    return !failed && (count < 2 || problem_set(problem, "on %s there are %d sessions: say %s",
                                                words, count, all));
}

/* ' (did you mean R-07?)', where a rider's code is near. */
static void say_near(struct store *store, const char *words, char *text, size_t size)
{
    struct row row;
    struct problem unused = {0};
    bool failed = false;
    int least = SLIPS_MEANT_MOST + 1;
    text[0] = '\0';
    if (!row_prepare(store, "SELECT DISTINCT code FROM session_rider WHERE NOT undone", &row,
                     &unused)) {
        return;
    }
    while (row_next(&row, &failed, &unused)) {
        char code[NAME_SIZE];
        row_take_text(&row, code, sizeof code);
        int slips = slips_between(words, code);
        if (slips < least) {
            size_t used = 0;
            least = slips;
            text_append(text, size, &used, "; did you mean %s?", code);
        }
    }
}

bool store_find_session(struct store *store, const char *words, int64_t *id,
                        struct problem *problem)
{
    char near[NAME_SIZE + 32];
    int64_t number = 0;
    bool more = false;
    *id = 0;
    if (text_equal(words, "last")) {
        if (!store_number(store, "SELECT id FROM session ORDER BY started DESC, id DESC LIMIT 1", 0,
                          id, problem)) {
            return false;
        }
        return *id != 0 || problem_set(problem, "there is no session in %s yet", store->path);
    }
    if (text_to_int64(words, &number) &&
        !store_number(store, "SELECT id FROM session WHERE id = ?", number, id, problem)) {
        return false;
    }
    if (*id == 0 &&
        !find_text(store,
                   "SELECT s.id FROM session s JOIN session_rider r ON r.session_id = s.id"
                   " WHERE r.code = ? AND NOT r.undone ORDER BY s.started DESC, s.id DESC",
                   words, id, &more, problem)) {
        return false;
    }
    if (*id == 0 && !find_day(store, words, id, problem)) {
        return false;
    }
    if (*id == 0 && is_uuid_start(words)) {
        if (!find_text(store,
                       "SELECT id FROM session WHERE uuid >= lower(?1) AND uuid < lower(?1) || 'g'",
                       words, id, &more, problem)) {
            return false;
        }
        if (more) {
            return problem_set(problem, "several sessions of %s begin with '%s': give more of it",
                               store->path, words);
        }
    }
    if (*id != 0) {
        return true;
    }
    say_near(store, words, near, sizeof near);
    return problem_set(problem, "there is no session '%s' in %s%s%s", words, store->path, near,
                       near[0] != '\0' ? "" : ": 'holdline list' shows those there are");
}

bool store_session_in_part(struct store *store, int64_t id, bool *in_part, struct problem *problem)
{
    int64_t is = 0;
    bool done =
        store_number(store, "SELECT version LIKE '%" STORE_IN_PART "' FROM session WHERE id = ?",
                     id, &is, problem);
    *in_part = is != 0;
    return done;
}

bool store_find_cut_short(struct store *store, int64_t *id, struct problem *problem)
{
    if (!store_number(store,
                      "SELECT id FROM session WHERE ended = 0 AND id <> ?"
                      " ORDER BY started DESC, id DESC LIMIT 1",
                      store->committed.session_id, id, problem)) {
        return false;
    }
    if (*id == 0 && problem != NULL) {
        problem->kind = PROBLEM_NONE;
        problem->sentence[0] = '\0';
    }
    return *id != 0;
}

/* The stretch of a session that others have followed moves to the end, so that it can go on. */
static bool move_to_end(struct store *store, struct recording *recording, struct problem *problem)
{
    static const char move[] = "UPDATE sample SET n = n + ? WHERE n BETWEEN ? AND ?";
    int64_t end = 0;
    struct row row;
    if (!store_number(store, "SELECT max(n) FROM sample", 0, &end, problem)) {
        return false;
    }
    if (end <= recording->last_n) {
        return true;
    }
    int64_t shift = end + 1 - recording->first_n;
    if (!row_prepare(store, move, &row, problem)) {
        return false;
    }
    row_put_integer(&row, shift);
    row_put_integer(&row, recording->first_n);
    row_put_integer(&row, recording->last_n);
    if (!row_write(&row, problem)) {
        return false;
    }
    recording->first_n += shift;
    recording->last_n += shift;
    return true;
}

/* What goes on is summed with what is there of its stretch. */
static bool sum_of_last_stretch(struct store *store, struct recording *recording,
                                struct problem *problem)
{
    int64_t last = recording->last_n - recording->first_n + 1;
    int64_t first = last / SUM_STRETCH * SUM_STRETCH + 1;
    const struct sample *samples = NULL;
    size_t count = 0;
    if (last >= first &&
        !store_samples(store, recording->session_id, first, last, &samples, &count, problem)) {
        return false;
    }
    for (size_t i = 0; i < count; i++) {
        recording->sum = stored_sum_sample(recording->sum, &samples[i]);
    }
    return true;
}

bool store_resume(struct store *store, int64_t id, struct problem *problem)
{
    int64_t there = 0;
    return store_number(store, "SELECT count(*) FROM session WHERE id = ?", id, &there, problem) &&
           (there != 0 || problem_set(problem, "there is no session %lld", (long long)id)) &&
           store_go_on(store, id, problem);
}

bool store_go_on(struct store *store, int64_t id, struct problem *problem)
{
    struct recording recording = {.session_id = id, .channel_count = CHANNELS_MAX};
    int64_t channels = 0;
    if (!store_number(store, "SELECT first_n FROM session WHERE id = ?", id, &recording.first_n,
                      problem) ||
        !store_number(store, "SELECT last_n FROM session WHERE id = ?", id, &recording.last_n,
                      problem) ||
        !store_number(store, "SELECT sample_count FROM session WHERE id = ?", id,
                      &recording.sample_count, problem) ||
        !store_number(store,
                      "SELECT count(*) FROM channel WHERE session_id = ?1 AND placing ="
                      " (SELECT max(place) FROM placing WHERE session_id = ?1)",
                      id, &channels, problem)) {
        return false;
    }
    if (recording.first_n == 0) {
        return problem_set(problem, "there is no session %lld in %s", (long long)id, store->path);
    }
    if (channels > 0) {
        recording.channel_count = (int)channels;
    }
    if (!sum_of_last_stretch(store, &recording, problem) || !store_begin(store, problem)) {
        return false;
    }
    /* what was worked out is of the records that were there */
    if (!store_results_clear(store, id, problem) || !move_to_end(store, &recording, problem)) {
        store_rollback(store);
        return false;
    }
    store->now = recording; /* the commit writes where it is now */
    return store_commit(store, problem);
}
