/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "database.h"

#include "base/text.h"

#include <stdio.h>

#define TOLD_MOST 10

struct comparing {
    store_finding *found;
    void *context;
    int64_t count;
};

static bool same_value(sqlite3_stmt *a, sqlite3_stmt *b, int column)
{
    int type = sqlite3_column_type(a, column);
    if (type != sqlite3_column_type(b, column)) {
        return false;
    }
    switch (type) {
    case SQLITE_INTEGER:
        return sqlite3_column_int64(a, column) == sqlite3_column_int64(b, column);
    case SQLITE_FLOAT: /* the very same number: no room is left for rounding */
        return sqlite3_column_double(a, column) == sqlite3_column_double(b, column);
    case SQLITE_NULL:
        return true;
    default:
        return text_equal((const char *)sqlite3_column_text(a, column),
                          (const char *)sqlite3_column_text(b, column));
    }
}

static void tell(struct comparing *comparing, const char *where, const char *what,
                 const char *there, const char *here)
{
    char sentence[512];
    comparing->count++;
    if (comparing->count <= TOLD_MOST) {
        snprintf(sentence, sizeof sentence, "%s: %s is %.100s here and %.100s there", where, what,
                 here != NULL ? here : "not known", there != NULL ? there : "not known");
        comparing->found(comparing->context, sentence);
    }
}

/* Two results in the same order; from: the first column that counts. where begins the sentences. */
static bool compare_rows(struct comparing *comparing, struct row *a, struct row *b, int from,
                         const char *where, struct problem *problem)
{
    bool failed_a = false, failed_b = false;
    bool has_a = row_next(a, &failed_a, problem), has_b = row_next(b, &failed_b, problem);
    while (has_a && has_b) {
        for (int column = from; column < sqlite3_column_count(a->statement); column++) {
            if (!same_value(a->statement, b->statement, column)) {
                char place[160];
                snprintf(place, sizeof place, "%s %s", where,
                         (const char *)sqlite3_column_text(a->statement, from));
                tell(comparing, place, sqlite3_column_name(a->statement, column),
                     (const char *)sqlite3_column_text(b->statement, column),
                     (const char *)sqlite3_column_text(a->statement, column));
            }
        }
        has_a = row_next(a, &failed_a, problem);
        has_b = row_next(b, &failed_b, problem);
    }
    if (has_a != has_b) {
        tell(comparing, where, "the number of rows", has_b ? "larger" : "smaller",
             has_a ? "larger" : "smaller");
    }
    if (has_a) {
        row_end(a);
    }
    if (has_b) {
        row_end(b);
    }
    return !failed_a && !failed_b;
}

static bool prepare_both(struct store *a, struct store *b, const char *sql, int64_t id_a,
                         int64_t id_b, struct row *row_a, struct row *row_b,
                         struct problem *problem)
{
    if (!row_prepare(a, sql, row_a, problem) || !row_prepare(b, sql, row_b, problem)) {
        return false;
    }
    row_put_integer(row_a, id_a);
    row_put_integer(row_b, id_b);
    return true;
}

bool store_compare_session(struct store *store, int64_t id, struct store *other, int64_t other_id,
                           store_finding *found, void *context, int64_t *differences,
                           struct problem *problem)
{
    static const char samples[] =
        "SELECT x.n - s.first_n + 1 AS number, x.rig_us, x.delay_us, x.quality, x.v1, x.v2, x.v3,"
        " x.v4, x.v5, x.v6, x.v7, x.v8 FROM session s"
        " JOIN sample x ON x.n BETWEEN s.first_n AND s.last_n WHERE s.id = ? ORDER BY x.n";
    struct comparing comparing = {found, context, 0};
    struct row a, b;
    bool done =
        row_select_session_same(store, &a, problem) && row_select_session_same(other, &b, problem);
    if (done) {
        row_put_integer(&a, id);
        row_put_integer(&b, other_id);
    }
    done = done && compare_rows(&comparing, &a, &b, 0, "session", problem);
    for (int table = TABLE_SESSION + 1; done && table < STORED_TABLES; table++) {
        done = row_select(store, (enum stored_table_id)table, &a, problem) &&
               row_select(other, (enum stored_table_id)table, &b, problem);
        if (done) {
            row_put_integer(&a, id);
            row_put_integer(&b, other_id);
            done = compare_rows(&comparing, &a, &b, 1, stored_tables[table]->name, problem);
        }
    }
    done = done && prepare_both(store, other, samples, id, other_id, &a, &b, problem) &&
           compare_rows(&comparing, &a, &b, 0, "sample", problem);
    *differences = comparing.count;
    return done;
}
