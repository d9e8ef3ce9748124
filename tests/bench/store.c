/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What recording costs: samples through the recorder into the store against a bare loop of one
 * prepared insert into the same table, in the same run, with the same commits; and bytes a sample
 * on disk. */
#include "support/bench.h"
#include "support/full_session.h"

#include "app/recorder.h"
#include "base/clock.h"

#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

#define SAMPLES 360000 /* two hours at 50 samples/s, or six minutes at 1000 */
#define BATCH 16384    /* as the recorder commits when it is never waited for */
#define RUNS 5
#define GOAL_RATIO 0.70

static struct sample stream[SAMPLES];

static void take_effect(void *context, const struct effect *effect)
{
    recorder_take_effect(context, effect);
}

/* Seconds for all samples through the recorder. */
static bool record(struct bench *bench, const char *path, const struct session_record *session,
                   double *seconds)
{
    struct problem problem = {0};
    unlink(path);
    struct recorder *recorder = recorder_create_synchronous(path, NULL, &problem);
    if (recorder == NULL) {
        return bench_fail(bench, "%s", problem.sentence);
    }
    full_session_effects(session, 1, take_effect, recorder);
    bool done = recorder_flush(recorder, &problem);
    int64_t started_us = clock_monotonic_us();
    for (int i = 0; done && i < SAMPLES; i++) {
        done = recorder_take_sample(recorder, &stream[i]);
    }
    done = recorder_flush(recorder, &problem) && done;
    *seconds = (double)(clock_monotonic_us() - started_us) / 1e6;
    done = recorder_finish(recorder, &problem) && done;
    recorder_destroy(recorder);
    return done || bench_fail(bench, "%s", problem.sentence);
}

/* Seconds for a bare loop on the same table of the same file, emptied. */
static bool insert_bare(struct bench *bench, const char *path, int channels, double *seconds)
{
    sqlite3 *db = NULL;
    sqlite3_stmt *insert = NULL;
    bool done =
        sqlite3_open(path, &db) == SQLITE_OK &&
        sqlite3_exec(db,
                     "PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; DELETE FROM sample;"
                     "PRAGMA wal_checkpoint(TRUNCATE)",
                     NULL, NULL, NULL) == SQLITE_OK &&
        sqlite3_prepare_v2(
            db,
            "INSERT INTO sample (n, rig_us, delay_us, quality, v1, v2, v3, v4, v5, v6,"
            " v7, v8) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
            -1, &insert, NULL) == SQLITE_OK;
    int64_t started_us = clock_monotonic_us();
    for (int i = 0; done && i < SAMPLES; i++) {
        if (i % BATCH == 0) {
            done =
                sqlite3_exec(db, i > 0 ? "COMMIT; BEGIN" : "BEGIN", NULL, NULL, NULL) == SQLITE_OK;
        }
        sqlite3_bind_int64(insert, 1, stream[i].number);
        sqlite3_bind_int64(insert, 2, stream[i].time_us);
        sqlite3_bind_int64(insert, 3, stream[i].delay_us);
        sqlite3_bind_int64(insert, 4, 0);
        for (int c = 0; c < channels; c++) {
            sqlite3_bind_int(insert, 5 + c, stream[i].range_tenth_mm[c]);
        }
        done = done && sqlite3_step(insert) == SQLITE_DONE;
        sqlite3_reset(insert);
    }
    done = done && sqlite3_exec(db, "COMMIT", NULL, NULL, NULL) == SQLITE_OK;
    *seconds = (double)(clock_monotonic_us() - started_us) / 1e6;
    if (!done) {
        bench_fail(bench, "bare loop: %s", sqlite3_errmsg(db));
    }
    sqlite3_finalize(insert);
    sqlite3_close(db);
    return done;
}

/* One placing with so many channels; nothing points at another. */
static struct session_record *session_of(int channels)
{
    struct session_record *session = full_session(1);
    session->placing_count = 1;
    session->placing[0].channel_count = channels;
    for (int i = 0; i < session->build_count; i++) {
        session->build[i].placing = 0;
    }
    for (int i = 0; i < session->check_count; i++) {
        session->check[i].placing = 0;
    }
    return session;
}

static void measure(struct bench *bench, int channels, double most_bytes)
{
    struct session_record *session = session_of(channels);
    double best_record_s = 1e9, best_bare_s = 1e9;
    struct stat file = {0};
    char path[128], what[64];
    bool done = true;
    for (int i = 0; i < SAMPLES; i++) {
        full_session_sample(i + 1, channels, 50.0, &stream[i]);
    }
    snprintf(path, sizeof path, "%s/record.db", bench->folder);
    for (int run = 0; done && run < RUNS; run++) {
        double record_s = 0, bare_s = 0;
        done = record(bench, path, session, &record_s) && stat(path, &file) == 0 &&
               insert_bare(bench, path, channels, &bare_s);
        best_record_s = record_s < best_record_s ? record_s : best_record_s;
        best_bare_s = bare_s < best_bare_s ? bare_s : best_bare_s;
    }
    free(session);
    if (!done) {
        return;
    }
    snprintf(what, sizeof what, "recorder, %d channels", channels);
    bench_tell(bench, what, SAMPLES / best_record_s, "samples/s");
    snprintf(what, sizeof what, "bare loop, %d channels", channels);
    bench_tell(bench, what, SAMPLES / best_bare_s, "samples/s");
    snprintf(what, sizeof what, "recorder, %d channels", channels);
    bench_at_least(bench, what, best_bare_s / best_record_s, "of the loop", GOAL_RATIO);
    snprintf(what, sizeof what, "on disk, %d channels", channels);
    bench_at_most(bench, what, (double)file.st_size / SAMPLES, "bytes/sample", most_bytes);
}

int main(void)
{
    struct bench bench;
    if (bench_begin(&bench, "store")) {
        measure(&bench, 2, 34.0);
        measure(&bench, 8, 54.0);
    }
    return bench_end(&bench);
}
