/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "database.h"

#include "base/clock.h"

#include <math.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/stat.h>

#define TOLD_MOST 20 /* of one kind */
/* The stream of samples of a larger file is not looked over whole before a session: 1.1 GB took
 * 12 s, all its other tables together 0.25 s. */
#define WHOLE_BYTES 32000000
#define ASK_EVERY_MS 100

struct checking {
    struct store *store;
    store_finding *found;
    void *context;
    int64_t count;
    struct problem *problem;
    pthread_mutex_t mutex; /* the rest is for whoever holds it */
    pthread_cond_t ended;
    bool over;
    int damaged;  /* told of one session */
    bool stopped; /* by the watch: what is found from then on is none */
};

static bool stopped(struct checking *checking)
{
    pthread_mutex_lock(&checking->mutex);
    bool is = checking->stopped;
    pthread_mutex_unlock(&checking->mutex);
    return is;
}

/* A query each row of which is a finding: its one column is the sentence. */
static bool tell_rows(struct checking *checking, const char *sql)
{
    struct row row;
    bool failed = false;
    int told = 0;
    if (!row_prepare(checking->store, sql, &row, checking->problem)) {
        return false;
    }
    while (row_next(&row, &failed, checking->problem)) {
        char sentence[512];
        row_take_text(&row, sentence, sizeof sentence);
        if (stopped(checking)) {
            row_end(&row);
            return false;
        }
        checking->count++;
        if (++told <= TOLD_MOST) {
            checking->found(checking->context, sentence);
        }
    }
    if (told > TOLD_MOST) {
        char sentence[64];
        snprintf(sentence, sizeof sentence, "... and %d more of that kind", told - TOLD_MOST);
        checking->found(checking->context, sentence);
    }
    return !failed;
}

/* ---- the file's pages --------------------------------------------------------------------------
 */

/* To SQLite the look over the pages of a table is one step, during which it asks nobody: here
 * another thread asks the watch. */
static void *ask(void *context)
{
    struct checking *checking = context;
    const struct store_watch *watch = checking->store->watch;
    pthread_mutex_lock(&checking->mutex);
    do {
        if (!watch->progress(watch->context, (double)NAN)) {
            checking->stopped = true;
            sqlite3_interrupt(checking->store->db);
            break;
        }
        int64_t until_ms = clock_wall_ms() + ASK_EVERY_MS;
        const struct timespec until = {until_ms / 1000, (long)(until_ms % 1000 * 1000000)};
        pthread_cond_timedwait(&checking->ended, &checking->mutex, &until);
    } while (!checking->over);
    pthread_mutex_unlock(&checking->mutex);
    return NULL;
}

static bool tell_pages(struct checking *checking)
{
    static const char sql[] =
        "SELECT 'the file: ' || substr(replace(replace(integrity_check,"
        " '*** in database main ***' || char(10), ''), char(10), '; '), 1, 300)"
        " FROM pragma_integrity_check WHERE integrity_check <> 'ok'";
    struct store *store = checking->store;
    const struct store_watch *watch = store->watch;
    pthread_t thread;
    if (watch == NULL || watch->progress == NULL) {
        return tell_rows(checking, sql);
    }
    sqlite3_progress_handler(store->db, 0, NULL, NULL); /* not both at once */
    bool asked = pthread_create(&thread, NULL, ask, checking) == 0;
    bool done = tell_rows(checking, sql);
    if (asked) {
        pthread_mutex_lock(&checking->mutex);
        checking->over = true;
        pthread_cond_signal(&checking->ended);
        pthread_mutex_unlock(&checking->mutex);
        pthread_join(thread, NULL);
    }
    store_watched(store, watch);
    store->stopped = stopped(checking);
    return done && !store->stopped;
}

/* ---- what it holds -----------------------------------------------------------------------------
 */

/* What must hold, as queries for what doesn't. */
static const char *const checks[] = {
    "SELECT 'a row of ' || \"table\" || ' points at a row of ' || parent || ' that is not there'"
    " FROM pragma_foreign_key_check",

    "SELECT format('session %d: it says %d samples, %d are there', s.id, s.sample_count,"
    " (SELECT count(*) FROM sample x WHERE x.n BETWEEN s.first_n AND s.last_n))"
    " FROM session s WHERE s.sample_count <>"
    " (SELECT count(*) FROM sample x WHERE x.n BETWEEN s.first_n AND s.last_n)",

    "SELECT format('session %d: its samples are also those of session %d', a.id, b.id)"
    " FROM session a JOIN session b ON b.id <> a.id AND b.first_n >= a.first_n"
    " AND b.first_n <= a.last_n AND b.last_n >= b.first_n"
    " WHERE a.first_n < b.first_n OR a.id < b.id",

    "SELECT format('%d samples belong to no session', c) FROM (SELECT"
    " (SELECT count(*) FROM sample) - (SELECT total(sample_count) FROM session) AS c)"
    " WHERE c > 0",

    "SELECT format('session %d: the time of sample %d is before that of the one before', s.id,"
    " x.n - s.first_n + 1) FROM session s CROSS JOIN sample x ON x.n BETWEEN s.first_n + 1 AND"
    " s.last_n CROSS JOIN sample y ON y.n = x.n - 1 WHERE x.rig_us < y.rig_us",

    "SELECT format('session %d: capture %d lies outside its samples', s.id, k.place)"
    " FROM capture k JOIN session s ON s.id = k.session_id WHERE k.last_sample IS NOT NULL AND"
    " (k.last_sample > s.last_n - s.first_n + 1 OR k.last_sample < k.first_sample - 1)",

    "SELECT format('session %d: it has ended, hold %d is still running', s.id, h.number)"
    " FROM hold h JOIN session s ON s.id = h.session_id"
    " WHERE s.ended = 1 AND h.status = 'running' AND NOT h.undone",

    "SELECT format('session %d: there are several holds of number %d', session_id, number)"
    " FROM hold WHERE NOT undone GROUP BY session_id, number HAVING count(*) > 1",

    "SELECT format('session %d: there are several setups of number %d', session_id, number)"
    " FROM setup WHERE NOT undone GROUP BY session_id, number HAVING count(*) > 1",

    "SELECT format('session %d: the log has %d commands, and its last is number %d', session_id,"
    " count(*), max(ordinal)) FROM command GROUP BY session_id HAVING count(*) <> max(ordinal)",

    "SELECT format('rider %s has no session', r.code) FROM rider r"
    " WHERE NOT EXISTS (SELECT 1 FROM session s WHERE s.rider_id = r.id)",
};

/* What the sessions' rows say, looked at as whoever reads them does. */
static bool look_at_session(struct checking *checking, int64_t id, struct session_record *record)
{
    struct store *store = checking->store;
    struct problem why = {0};
    if (!store_read_all(store, id, record, &why) && !store->stopped) {
        checking->count++;
        checking->found(checking->context, why.sentence);
    }
    return !store->stopped;
}

static void on_damage(void *context, const char *sentence)
{
    struct checking *checking = context;
    checking->count++;
    if (++checking->damaged <= TOLD_MOST) {
        checking->found(checking->context, sentence);
    }
}

static bool tell_sessions(struct checking *checking)
{
    struct store *store = checking->store;
    struct session_record *record = malloc(sizeof *record);
    int64_t id = 0;
    bool done = true;
    if (record == NULL) {
        return problem_set(checking->problem, "no memory for a session");
    }
    store_on_damage(store, on_damage, checking);
    while (done && store_next_session(store, &id, NULL)) {
        checking->damaged = 0;
        done = look_at_session(checking, id, record);
        if (checking->damaged > TOLD_MOST) {
            char sentence[64];
            snprintf(sentence, sizeof sentence, "session %lld: ... and %d more", (long long)id,
                     checking->damaged - TOLD_MOST);
            checking->found(checking->context, sentence);
        }
    }
    store_on_damage(store, NULL, NULL);
    free(record);
    return done;
}

bool store_check(struct store *store, store_finding *found, void *context,
                 const struct store_watch *watch, int64_t *count, struct problem *problem)
{
    struct checking checking = {.store = store,
                                .found = found,
                                .context = context,
                                .problem = problem,
                                .mutex = PTHREAD_MUTEX_INITIALIZER,
                                .ended = PTHREAD_COND_INITIALIZER};
    const size_t kinds = sizeof checks / sizeof checks[0];
    store_watched(store, watch);
    bool done = tell_pages(&checking);
    for (size_t i = 0; done && i < kinds; i++) {
        done = store_go_ahead(store, (double)(i + 1) / (double)(kinds + 1)) &&
               tell_rows(&checking, checks[i]);
    }
    done = done && tell_sessions(&checking) && store_go_ahead(store, 1);
    if (store->stopped) {
        done = problem_set(problem, "stopped before all was looked over");
    }
    store_watched(store, NULL);
    *count = checking.count;
    return done;
}

bool store_look_over(struct store *store, struct problem *problem)
{
    static const char sql[] =
        "SELECT format('%s: %s', t.name, substr(replace(replace(q.quick_check,"
        " '*** in database main ***' || char(10), ''), char(10), '; '), 1, 120))"
        " FROM sqlite_schema t, pragma_quick_check(t.name) q WHERE t.type = 'table'"
        " AND (t.name <> 'sample' OR ?) AND q.quick_check <> 'ok'"
        " LIMIT 1";
    struct stat file;
    struct row row;
    bool failed = false;
    char what[160] = "";
    if (!row_prepare(store, sql, &row, problem)) {
        return false;
    }
    row_put_integer(&row, stat(store->path, &file) == 0 && file.st_size <= WHOLE_BYTES);
    if (row_next(&row, &failed, problem)) {
        row_take_text(&row, what, sizeof what);
        row_end(&row);
        problem_set(problem,
                    "%s is damaged, nothing goes in: begin again with --store ANOTHER"
                    " or a backup ('holdline store check' tells more; %s)",
                    store->path, what);
    }
    return !failed && what[0] == '\0';
}
