/* What recording costs: samples through the recorder into the store against a bare loop of one
 * prepared insert into the same table, in the same run, with the same commits; bytes a sample on
 * disk; and how long the list and one session take in a small store and in a large one.
 * HOLDLINE_BENCH_HOLDS=10000 and HOLDLINE_BENCH_RATE=50 make the large one as large as that (1 GB).
 */
#include "support/full_session.h"

#include "app/recorder.h"
#include "base/clock.h"
#include "store/store.h"

#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define SAMPLES 360000 /* two hours at 50 samples/s, or six minutes at 1000 */
#define BATCH 16384    /* as the recorder commits when it is never waited for */
#define RUNS 5
#define GOAL_RATIO 0.70
#define HOLDS_A_SESSION 12

static char folder[64] = "/tmp/holdline-bench-XXXXXX";
static char path[128];
static struct sample stream[SAMPLES];

static void new_path(const char *name)
{
    snprintf(path, sizeof path, "%s/%s.db", folder, name);
}

static bool fail(const char *sentence)
{
    fprintf(stderr, "store: %s\n", sentence);
    return false;
}

static void take_effect(void *context, const struct effect *effect)
{
    recorder_take_effect(context, effect);
}

/* Seconds for all samples through the recorder. */
static bool record(const struct session_record *session, double *seconds)
{
    struct problem problem = {0};
    unlink(path);
    struct recorder *recorder = recorder_create_synchronous(path, &problem);
    if (recorder == NULL) {
        return fail(problem.sentence);
    }
    full_session_effects(session, 1, take_effect, recorder);
    bool done = recorder_flush(recorder, &problem);
    int64_t started_us = clock_monotonic_us();
    for (int i = 0; done && i < SAMPLES; i++) {
        recorder_take_sample(recorder, &stream[i]);
    }
    done = done && recorder_flush(recorder, &problem);
    *seconds = (double)(clock_monotonic_us() - started_us) / 1e6;
    done = recorder_finish(recorder, &problem) && done;
    recorder_destroy(recorder);
    return done || fail(problem.sentence);
}

/* Seconds for a bare loop on the same table of the same file, emptied. */
static bool insert_bare(int channels, double *seconds)
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
    const char *sentence = sqlite3_errmsg(db);
    done = done || fail(sentence);
    sqlite3_finalize(insert);
    sqlite3_close(db);
    return done;
}

static bool measure_recording(int channels, double most_bytes)
{
    struct session_record *session = full_session(1);
    double best_record = 1e9, best_bare = 1e9;
    struct stat file = {0};
    bool done = true;
    session->placing_count = 1;
    session->build[2].placing = session->build[3].placing = 0;
    session->placing[0].channel_count = channels;
    for (int i = 0; i < SAMPLES; i++) {
        full_session_sample(i + 1, channels, 50.0, &stream[i]);
    }
    new_path("record");
    for (int run = 0; done && run < RUNS; run++) {
        double record_s = 0, bare_s = 0;
        done =
            record(session, &record_s) && stat(path, &file) == 0 && insert_bare(channels, &bare_s);
        best_record = record_s < best_record ? record_s : best_record;
        best_bare = bare_s < best_bare ? bare_s : best_bare;
    }
    double ratio = best_bare / best_record, bytes = (double)file.st_size / SAMPLES;
    printf(
        "store  record %d channels      %8.0f samples/s, bare loop %8.0f   ratio %.2f, goal %.2f\n",
        channels, SAMPLES / best_record, SAMPLES / best_bare, ratio, GOAL_RATIO);
    printf("store  disk %d channels        %8.1f bytes/sample, goal %.0f   ratio %.2f\n", channels,
           bytes, most_bytes, most_bytes / bytes);
    free(session);
    return done && ratio >= GOAL_RATIO && bytes <= most_bytes;
}

static void write_effect(void *context, const struct effect *effect)
{
    struct problem problem = {0};
    if (!store_write_effect(context, effect, &problem)) {
        fail(problem.sentence);
        exit(1);
    }
}

/* Sessions of 12 holds, as many samples as the holds take at rate_hz. */
static bool fill(int sessions, double rate_hz)
{
    struct problem problem = {0};
    unlink(path);
    struct store *store = store_open(path, STORE_RECORD, &problem);
    int count = (int)(HOLDS_A_SESSION * 60 * rate_hz);
    for (int s = 0; store != NULL && s < sessions; s++) {
        struct session_record *session = full_session((unsigned)s + 1);
        for (int i = session->hold_count; i < HOLDS_A_SESSION; i++) {
            session->hold[i] = session->hold[0];
            session->hold[i].number = i + 1;
            session->hold[i].uuid.bytes[15] = (uint8_t)i;
            session->hold_count++;
        }
        if (!store_begin(store, &problem)) {
            break;
        }
        full_session_effects(session, 60, write_effect, store);
        for (int64_t number = 1; number <= count; number++) {
            struct sample sample;
            full_session_sample(number, 2, rate_hz, &sample);
            if (!store_write_samples(store, &sample, 1, &problem)) {
                break;
            }
        }
        free(session);
        if (!store_commit(store, &problem)) {
            break;
        }
    }
    store_close(store);
    return problem.kind == PROBLEM_NONE || fail(problem.sentence);
}

static bool count_session(void *context, const struct store_session *session)
{
    (void)session;
    ++*(int *)context;
    return true;
}

struct times {
    double list_ms, session_ms;
};

/* The best of some: the list of all sessions; one session's records and all samples of its holds.
 */
static bool read_back(struct times *times)
{
    struct problem problem = {0};
    struct session_record *record = malloc(sizeof *record);
    *times = (struct times){1e9, 1e9};
    bool done = record != NULL;
    for (int run = 0; done && run < RUNS; run++) {
        int count = 0;
        int64_t id = 0, started_us = clock_monotonic_us();
        struct store *store = store_open(path, STORE_READ, &problem);
        done = store != NULL && store_list(store, count_session, &count, &problem);
        double list_ms = (double)(clock_monotonic_us() - started_us) / 1e3;
        started_us = clock_monotonic_us();
        done = done && store_find_session(store, "R-05", &id, &problem) &&
               store_load(store, id, record, &problem);
        for (int i = 0; done && i < record->hold_count; i++) {
            const struct capture_record *capture = &record->capture[record->hold[i].capture];
            const struct sample *samples;
            size_t got;
            done = store_samples(store, id, capture->first_sample, capture->last_sample, &samples,
                                 &got, &problem);
        }
        double session_ms = (double)(clock_monotonic_us() - started_us) / 1e3;
        store_close(store);
        times->list_ms = list_ms < times->list_ms ? list_ms : times->list_ms;
        times->session_ms = session_ms < times->session_ms ? session_ms : times->session_ms;
    }
    free(record);
    return done || fail(problem.sentence);
}

static double from_environment(const char *name, double otherwise)
{
    const char *text = getenv(name);
    return text != NULL ? atof(text) : otherwise;
}

static bool measure_reading(void)
{
    struct times small, large;
    int holds = (int)from_environment("HOLDLINE_BENCH_HOLDS", 10000);
    double rate_hz = from_environment("HOLDLINE_BENCH_RATE", 1);
    new_path("small");
    bool done = fill(8, rate_hz) && read_back(&small);
    new_path("large");
    done = done && fill(holds / HOLDS_A_SESSION, rate_hz) && read_back(&large);
    if (done) {
        printf("store  list, %5d holds       %8.2f ms, goal 50.00   ratio %.2f (%.2f ms with 96)\n",
               holds, large.list_ms, 50.0 / large.list_ms, small.list_ms);
        printf("store  session, %5d holds    %8.2f ms, goal 50.00   ratio %.2f (%.2f ms with 96)\n",
               holds, large.session_ms, 50.0 / large.session_ms, small.session_ms);
    }
    return done && large.list_ms <= 50 && large.session_ms <= 50;
}

int main(void)
{
    char command[128];
    if (mkdtemp(folder) == NULL) {
        fail("no folder for temporary files");
        return 1;
    }
    bool done = measure_recording(2, 34.0);
    done = measure_recording(8, 54.0) && done;
    done = measure_reading() && done;
    snprintf(command, sizeof command, "rm -rf %s", folder);
    return system(command) == 0 && done ? 0 : 1;
}
