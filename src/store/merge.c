/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "sums.h"

#include "base/text.h"

#include <stdio.h>
#include <stdlib.h>

#define MEASURES_MOST 1000 /* this program's and those of some later ones */

struct merging {
    struct store *here, *there;
    store_finding *told;
    void *context;
    struct problem *problem;
    struct store_merged *merged;
    struct session_record *looked_at; /* a session of there, loaded to see whether it can be */
};

static void tell(struct merging *merging, const char *sentence)
{
    merging->told(merging->context, sentence);
}

/* Copies the row that the statement stands on into the other's, columns from on; those before are
 * bound. */
static bool copy_row(sqlite3_stmt *from, struct row *into, int first, struct problem *problem)
{
    for (int column = first; column < sqlite3_column_count(from); column++) {
        sqlite3_bind_value(into->statement, column + 1, sqlite3_column_value(from, column));
    }
    return row_write(into, problem);
}

/* Measures that the other store has and this one doesn't (of a later program). */
static bool copy_measures(struct merging *merging)
{
    struct row from, into;
    bool failed = false;
    int64_t count = 0;
    if (!store_number(merging->there, "SELECT count(*) FROM bike_measure", 0, &count,
                      merging->problem) ||
        !row_prepare(merging->there, "SELECT key, words, unit, scope FROM bike_measure", &from,
                     merging->problem)) {
        return false;
    }
    if (count > MEASURES_MOST) {
        return problem_set(merging->problem, "%s knows %lld measures of a bike: nothing was taken",
                           merging->there->path, (long long)count);
    }
    while (row_next(&from, &failed, merging->problem)) {
        if (!row_prepare(merging->here,
                         "INSERT INTO bike_measure (key, words, unit, scope) VALUES (?, ?, ?, ?)"
                         " ON CONFLICT (key) DO NOTHING",
                         &into, merging->problem) ||
            !copy_row(from.statement, &into, 0, merging->problem)) {
            row_end(&from);
            return false;
        }
    }
    return !failed;
}

/* The session's own row, and the stretch that its samples will have. */
static bool copy_session_row(struct merging *merging, int64_t there_id, int64_t *here_id,
                             int64_t *shift)
{
    struct row from, into;
    bool failed = false;
    int64_t end = 0;
    if (!store_number(merging->here, "SELECT max(n) FROM sample", 0, &end, merging->problem) ||
        !row_select_session_extent(merging->there, &from, merging->problem) ||
        !row_insert_session(merging->here, &into, merging->problem)) {
        return false;
    }
    row_put_integer(&from, there_id);
    if (!row_next(&from, &failed, merging->problem)) {
        return failed
                   ? false
                   : problem_set(merging->problem, "session %lld went away", (long long)there_id);
    }
    int64_t first_n = row_take_integer(&from);
    *shift = end + 1 - first_n;
    row_put_integer(&into, first_n + *shift);
    row_put_integer(&into, row_take_integer(&from) + *shift);
    bool done = copy_row(from.statement, &into, 2, merging->problem);
    row_end(&from);
    *here_id = sqlite3_last_insert_rowid(merging->here->db);
    return done;
}

static bool copy_table(struct merging *merging, enum stored_table_id table, int64_t there_id,
                       int64_t here_id)
{
    struct row from, into;
    bool failed = false;
    if (!row_select(merging->there, table, &from, merging->problem)) {
        return false;
    }
    row_put_integer(&from, there_id);
    while (row_next(&from, &failed, merging->problem)) {
        if (!row_upsert(merging->here, table, &into, merging->problem)) {
            row_end(&from);
            return false;
        }
        row_put_integer(&into, here_id);
        if (!copy_row(from.statement, &into, 1, merging->problem)) {
            row_end(&from);
            return false;
        }
    }
    return !failed;
}

static bool copy_samples(struct merging *merging, int64_t there_id, int64_t shift)
{
    static const char select[] =
        "SELECT x.n, x.rig_us, x.delay_us, x.quality, x.v1, x.v2, x.v3, x.v4, x.v5, x.v6, x.v7, "
        "x.v8"
        " FROM session s JOIN sample x ON x.n BETWEEN s.first_n AND s.last_n WHERE s.id = ?"
        " ORDER BY x.n";
    static const char insert[] =
        "INSERT INTO sample (n, rig_us, delay_us, quality, v1, v2, v3, v4, v5, v6, v7, v8)"
        " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)";
    struct row from, into;
    bool failed = false;
    if (!row_prepare(merging->there, select, &from, merging->problem) ||
        !row_prepare(merging->here, insert, &into, merging->problem)) {
        return false;
    }
    row_put_integer(&from, there_id);
    while (row_next(&from, &failed, merging->problem)) {
        row_put_integer(&into, row_take_integer(&from) + shift);
        if (!copy_row(from.statement, &into, 1, merging->problem)) {
            row_end(&from);
            return false;
        }
    }
    return !failed;
}

/* In one transaction: all of it or nothing. */
static bool take_session(struct merging *merging, int64_t there_id, int64_t *here_id)
{
    int64_t shift = 0;
    struct store *here = merging->here;
    if (!store_execute(here, "BEGIN IMMEDIATE", "writing into", merging->problem)) {
        return false;
    }
    bool done = copy_session_row(merging, there_id, here_id, &shift);
    for (int table = TABLE_SESSION + 1; done && table < STORED_TABLES; table++) {
        done = copy_table(merging, (enum stored_table_id)table, there_id, *here_id);
    }
    done = done && copy_samples(merging, there_id, shift) &&
           sum_copy(merging->there, there_id, here, *here_id, merging->problem) &&
           store_link_people(here, *here_id, true, merging->problem) &&
           store_execute(here, "COMMIT", "writing into", merging->problem);
    if (!done) {
        store_rollback(here);
    }
    return done;
}

struct candidate {
    int64_t id;
    char uuid[UUID_TEXT_SIZE];
    char code[NAME_SIZE], name[NAME_SIZE], rider_uuid[UUID_TEXT_SIZE];
};

static void ignore(void *context, const char *sentence)
{
    (void)context;
    (void)sentence;
}

/* A session that is in both: the same, or told. */
static bool meet_known(struct merging *merging, const struct candidate *candidate, int64_t here_id)
{
    int64_t differences = 0;
    char sentence[256];
    if (!store_compare_session(merging->here, here_id, merging->there, candidate->id, ignore, NULL,
                               &differences, merging->problem)) {
        return false;
    }
    if (differences == 0) {
        merging->merged->already_there++;
        return true;
    }
    snprintf(
        sentence, sizeof sentence,
        "session %lld there is session %lld here, and they differ: the one here was left as it "
        "is",
        (long long)candidate->id, (long long)here_id);
    tell(merging, sentence);
    merging->merged->left_out++;
    return true;
}

/* The code is here already, for somebody else by name and by identifier. */
static bool is_another_rider(struct merging *merging, const struct candidate *candidate,
                             bool *another)
{
    static const char sql[] = "SELECT uuid, name FROM rider WHERE code = ?";
    struct row row;
    bool failed = false;
    char uuid[UUID_TEXT_SIZE], name[NAME_SIZE], sentence[512];
    *another = false;
    if (!row_prepare(merging->here, sql, &row, merging->problem)) {
        return false;
    }
    row_put_text(&row, candidate->code);
    if (row_next(&row, &failed, merging->problem)) {
        row_take_text(&row, uuid, sizeof uuid);
        row_take_text(&row, name, sizeof name);
        row_end(&row);
        *another = !text_equal(uuid, candidate->rider_uuid) && name[0] != '\0' &&
                   candidate->name[0] != '\0' && !text_equal(name, candidate->name);
        if (*another) {
            snprintf(sentence, sizeof sentence,
                     "session %lld there is of rider %s '%s', and %s is '%s' here: it was left out",
                     (long long)candidate->id, candidate->code, candidate->name, candidate->code,
                     name);
            tell(merging, sentence);
        }
    }
    return !failed;
}

static void leave_out(struct merging *merging, const struct candidate *candidate, const char *why)
{
    char sentence[700];
    snprintf(sentence, sizeof sentence, "session %lld there was left out: %s",
             (long long)candidate->id, why);
    tell(merging, sentence);
    merging->merged->left_out++;
}

/* What can't be opened there, or is damaged, is not taken in here. */
static bool can_be_opened(struct merging *merging, const struct candidate *candidate, bool *can,
                          struct problem *problem)
{
    struct problem why = {0};
    *can = store_read_all(merging->there, candidate->id, merging->looked_at, &why);
    if (merging->there->stopped) {
        return problem_set(problem, "stopped");
    }
    if (!*can) {
        leave_out(merging, candidate, why.sentence);
    }
    return true;
}

static bool consider(struct merging *merging, const struct candidate *candidate)
{
    struct row row;
    bool failed = false, another = false, can = false;
    int64_t here_id = 0;
    if (!row_prepare(merging->here, "SELECT id FROM session WHERE uuid = ?", &row,
                     merging->problem)) {
        return false;
    }
    row_put_text(&row, candidate->uuid);
    if (row_next(&row, &failed, merging->problem)) {
        here_id = row_take_integer(&row);
        row_end(&row);
        return meet_known(merging, candidate, here_id);
    }
    if (failed || !can_be_opened(merging, candidate, &can, merging->problem)) {
        return false;
    }
    if (!can) {
        return true;
    }
    if (!is_another_rider(merging, candidate, &another)) {
        return false;
    }
    if (another) {
        merging->merged->left_out++;
        return true;
    }
    merging->here->record_refused = false;
    if (take_session(merging, candidate->id, &here_id)) {
        merging->merged->taken++;
        return true;
    }
    if (!store_refused_record(merging->here)) {
        return false; /* the disk, not the session */
    }
    leave_out(merging, candidate,
              merging->problem != NULL ? merging->problem->sentence : "it clashes with one here");
    return true;
}

bool store_merge(struct store *store, struct store *other, store_finding *told, void *context,
                 const struct store_watch *watch, struct store_merged *merged,
                 struct problem *problem)
{
    static const char sql[] =
        "SELECT s.id, s.uuid, r.code, r.name, k.uuid FROM session s"
        " LEFT JOIN session_rider r ON r.session_id = s.id LEFT JOIN rider k ON k.id = s.rider_id"
        " ORDER BY s.started, s.id";
    struct problem own = {0};
    *merged = (struct store_merged){0};
    struct merging merging = {
        store, other, told, context, &own, merged, malloc(sizeof *merging.looked_at)};
    struct row row;
    bool failed = false, done = true;
    int64_t count = 0, seen = 0;
    if (merging.looked_at == NULL) {
        return problem_set(problem, "no memory for a session");
    }
    store_watched(store, watch);
    store_watched(other, watch);
    done = store_number(other, "SELECT count(*) FROM session", 0, &count, &own) &&
           copy_measures(&merging) && row_prepare(other, sql, &row, &own);
    while (done && row_next(&row, &failed, &own)) {
        struct candidate candidate;
        candidate.id = row_take_integer(&row);
        row_take_text(&row, candidate.uuid, sizeof candidate.uuid);
        row_take_text(&row, candidate.code, sizeof candidate.code);
        row_take_text(&row, candidate.name, sizeof candidate.name);
        row_take_text(&row, candidate.rider_uuid, sizeof candidate.rider_uuid);
        done = consider(&merging, &candidate);
        seen++;
        done = done && store_go_ahead(store, (double)seen / (double)count);
        if (!done) {
            row_end(&row);
        }
    }
    done = done && !failed;
    free(merging.looked_at);
    if (store->stopped || other->stopped) {
        problem_set(&own, "stopped: %d session%s taken in whole, no other", merged->taken,
                    merged->taken == 1 ? " was" : "s were");
    }
    store_watched(store, NULL);
    store_watched(other, NULL);
    if (!done && problem != NULL) {
        *problem = own;
    }
    return done;
}
