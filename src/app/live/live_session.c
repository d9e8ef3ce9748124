/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "live_session_inside.h"

#include "app/carry.h"
#include "app/carry_offers.h"
#include "app/replay.h"
#include "app/session_clock.h"
#include "base/clock.h"
#include "base/ring.h"
#include "base/text.h"

#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define RING_SAMPLES 16384
#define BATCH 256
#define SAMPLES_BETWEEN_TELLING 2048
#define LOOK_US (LIVE_LOOK_MS * INT64_C(1000))
#define LEAD_US 3000        /* a publication comes so long before the screen looks */
#define PAUSE_LEAST_US 2000 /* between two publications */
#define IDLE_MS 200

/* ---- the session's thread ---------------------------------------------------------------------
 */

static void on_effect(void *context, const struct effect *effect)
{
    struct live_session *live = context;
    recorder_take_effect(live->recorder, effect);
    if (effect->kind == EFFECT_COMMAND) {
        session_reports_command(&live->reports, &effect->record.command);
    }
}

static void take_rig_info(struct live_session *live)
{
    struct rig_info info;
    char line[COMMAND_TEXT_SIZE];
    pthread_mutex_lock(&live->lock);
    bool has = live->has_info;
    info = live->info;
    pthread_mutex_unlock(&live->lock);
    if (!has) {
        return;
    }
    struct problem problem = {0};
    live->rig_announced = true;
    rig_command_line(line, sizeof line, &info);
    bool refused_before = live->rig_refused;
    live->rig_refused = !live_session_do(live, line, &problem);
    live->refused_serial = session_snapshot_serial(live->session);
    if (live->rig_refused && !refused_before) {
        live_session_not_taken(live, problem.sentence);
    } else if (live->rig_refused || refused_before) {
        live_session_link_trouble(live, problem.sentence, false);
    }
}

static bool take_samples(struct live_session *live)
{
    struct sample batch[BATCH];
    size_t count = ring_pop(live->ring, batch, BATCH);
    for (size_t i = 0; i < count; i++) {
        bool entered = live->refused_serial != session_snapshot_serial(live->session);
        if (!live->rig_announced || (live->rig_refused && entered)) {
            take_rig_info(live);
        }
        if (live->rig_refused) {
            continue;
        }
        session_sample(live->session, &batch[i]);
        live->samples_seen++;
        if (live->teller.plate_held) {
            pthread_mutex_lock(&live->lock);
            rig_teller_samples(&live->teller, live->session, live->link, NULL);
            pthread_mutex_unlock(&live->lock);
        }
    }
    return count == BATCH;
}

/* Anew where something has changed since the last. False where none is free: then nothing is
 * published until the next try, since a view and its snapshot belong together. */
static bool make_snapshot(struct live_session *live)
{
    const struct snapshot *last = live->back.snapshot;
    struct snapshot *next = NULL;
    if (last->serial != session_snapshot_serial(live->session)) {
        next = snapshot_pool_take(live->snapshots);
    }
    if (next != NULL) {
        session_fill_snapshot(live->session, next);
        live->back.snapshot = next;
        snapshot_pool_release(live->snapshots, last);
    }
    return live->back.snapshot->serial == session_snapshot_serial(live->session);
}

static void publish(struct live_session *live)
{
    struct recorder_state state;
    recorder_state(live->recorder, &state);
    uint64_t serial = live->back.serial;
    const struct snapshot *before = NULL;
    if (!make_snapshot(live)) {
        return;
    }
    bool work_changed = live_work_show(live, &live->back.work);
    session_fill_view(live->session, &live->back);
    pthread_mutex_lock(&live->lock);
    bool news = live->back.serial != serial || live->link_changed ||
                state.samples_stored != live->published_stored;
    live->back.health = live->health;
    if (session_records(live->session)->last_sample > 0 && live->samples_seen == 0) {
        live->back.health.silent = true; /* taken up again: what came before that is not what is */
    }
    if (health_is_mute(&live->back.health)) {
        view_forget_live(&live->back);
    }
    if (live->link != NULL) {
        text_copy(live->back.link_name, sizeof live->back.link_name, live->link->name);
    }
    text_copy(live->back.dialect, sizeof live->back.dialect,
              live->has_info ? live->info.dialect : "");
    if (live->has_info) {
        live->back.stream = live->info;
    }
    text_copy(live->back.link_trouble, sizeof live->back.link_trouble, live->link_reason);
    live->back.link_offer = live->offers;
    live->link_changed = false;
    news = news || live->earlier.serial != live->front.earlier.serial || work_changed;
    live->back.store_open = state.store_open;
    text_copy(live->back.store_text, sizeof live->back.store_text, state.text);
    memcpy(live->back.store_trouble, state.brief, sizeof live->back.store_trouble);
    live->back.samples_seen = live->samples_seen;
    live->back.samples_stored = state.samples_stored;
    live->published_stored = state.samples_stored;
    if (news) {
        live->publications++;
        before = live->front.view.snapshot;
        snapshot_pool_hold(live->snapshots, live->back.snapshot);
        live->front.view = live->back;
        live->front.view.serial = live->publications;
        live_look_follow(&live->front, &live->earlier, live->back.history);
    }
    pthread_mutex_unlock(&live->lock);
    if (news) {
        snapshot_pool_release(live->snapshots, before);
        live_session_trace(live, "seen", "");
    }
}

static bool has_come(struct live_session *live)
{
    pthread_mutex_lock(&live->lock);
    bool any = live->asked_count > 0 || live->link_changed;
    pthread_mutex_unlock(&live->lock);
    return any || ring_waiting(live->ring) > 0;
}

/* Waits for the bell, unless something has come meanwhile; a while at most. */
static void wait_for_bell(struct live_session *live)
{
    struct pollfd bell = {.fd = live->bell[0], .events = POLLIN};
    char bytes[64];
    atomic_store(&live->rung, false);
    atomic_thread_fence(memory_order_seq_cst); /* who comes now sees that, or is seen */
    if (!has_come(live) && poll(&bell, 1, IDLE_MS) > 0 &&
        read(live->bell[0], bytes, sizeof bytes) < 0) {
        /* then it rings once more */
    }
    atomic_store(&live->rung, true);
}

/* Until shortly before the screen looks again, as it said or as it has done so far. */
static int64_t until_publication_us(const struct live_session *live, int64_t now_us)
{
    int64_t due_us = atomic_load(&live->look_us) - LEAD_US;
    int64_t least_us = now_us + PAUSE_LEAST_US;
    if (due_us < least_us) {
        due_us += ((least_us - due_us) / LOOK_US + 1) * LOOK_US;
    }
    return due_us - now_us;
}

/* Between two publications nobody rings and the thread sleeps: what comes then is taken at once at
 * the end, so that a fast rig's samples don't cost a wake-up each. */
static void *session_main(void *argument)
{
    struct live_session *live = argument;
    atomic_store(&live->rung, true);
    for (;;) {
        bool last = atomic_load(&live->stop);
        uint64_t seen = live->samples_seen;
        while (take_samples(live)) {
        }
        bool news = live_work_asked(live);
        news = live_work_take(live) || news || live->samples_seen > seen;
        if (last) {
            return NULL;
        }
        int64_t now_us = clock_monotonic_us();
        if (news || now_us - live->published_us >= IDLE_MS * 1000) {
            publish(live);
            live->published_us = now_us;
            usleep((useconds_t)until_publication_us(live, now_us));
        } else {
            wait_for_bell(live);
        }
    }
}

/* ---- starting ---------------------------------------------------------------------------------
 */

static bool create(struct live_session *live, const struct session_origin *origin,
                   struct problem *problem)
{
    live->session = session_create(origin, on_effect, live);
    if (live->session == NULL) {
        return problem_set(problem, "no memory for a session");
    }
    text_copy(live->own.store_path, sizeof live->own.store_path, live->options->store_path);
    session_keep_elsewhere(live->session, live_samples_from_store, live);
    return true;
}

struct resuming {
    const struct live_wait *wait;
    int64_t last_sample;
};

static bool tell_share(void *context, const struct sample *sample, struct problem *problem)
{
    const struct resuming *resuming = context;
    (void)problem;
    if (sample->number % SAMPLES_BETWEEN_TELLING == 0) {
        resuming->wait->tell(resuming->wait->context,
                             (double)sample->number / (double)resuming->last_sample);
    }
    return true;
}

static bool resume(struct live_session *live, const struct live_wait *wait, struct problem *problem)
{
    const struct live_options *options = live->options;
    struct resuming resuming = {wait, 0};
    struct session_origin origin;
    struct store *store = store_open(options->store_path, STORE_READ, problem);
    bool done =
        store != NULL &&
        replay_origin(store, options->resume_session, &origin, &resuming.last_sample, problem) &&
        create(live, &origin, problem);
    done = done &&
           replay_session(store, options->resume_session, resuming.last_sample, live->session,
                          tell_share, &resuming, problem) &&
           session_command(live->session, "resume", problem);
    live->rig_announced = done && session_records(live->session)->placing_count > 0;
    store_close(store);
    return done;
}

/* Before there is a gauge that could wait for it. */
static bool carry_at_start(struct live_session *live, const char *line, struct problem *problem)
{
    struct words words;
    char sentences[CARRY_SENTENCES_SIZE];
    return words_split(line, &words, problem) &&
           carry_line(live->options->store_path, &words, live->session, live_session_do, live,
                      sentences, sizeof sentences, problem);
}

static bool begin(struct live_session *live, const struct live_wait *wait, struct problem *problem)
{
    const struct live_options *options = live->options;
    if (options->resume_session > 0) {
        return resume(live, wait, problem);
    }
    if (!create(live, &options->origin, problem)) {
        return false;
    }
    for (int i = 0; options->first_commands != NULL && options->first_commands[i] != NULL; i++) {
        if (!session_command(live->session, options->first_commands[i], problem)) {
            return problem_prefix(problem, "'%s'", options->first_commands[i]);
        }
    }
    return options->carry == NULL || carry_at_start(live, options->carry, problem);
}

static void release(struct live_session *live)
{
    for (int a = 0; a < LIVE_ASKERS; a++) {
        for (int i = 0; i < live->answer_count[a]; i++) {
            free(live->answer[a][i].text);
        }
    }
    session_destroy(live->session);
    own_samples_close(&live->own);
    session_reports_end(&live->reports);
    ring_destroy(live->ring);
    if (live->trace != NULL) {
        fclose(live->trace);
    }
    if (live->bell[0] >= 0) {
        close(live->bell[0]);
        close(live->bell[1]);
    }
    snapshot_pool_release(live->snapshots, live->front.view.snapshot);
    snapshot_pool_release(live->snapshots, live->back.snapshot);
    pthread_mutex_destroy(&live->lock);
    free(live);
}

struct live_session *live_session_start(const struct live_options *options,
                                        struct recorder *recorder, struct snapshot_pool *snapshots,
                                        const struct live_wait *wait, int64_t *last_number,
                                        int64_t *last_time_us, struct problem *problem)
{
    struct live_session *live = calloc(1, sizeof *live);
    if (live == NULL) {
        problem_set(problem, "no memory for a live session");
        return NULL;
    }
    live->options = options;
    live->recorder = recorder;
    live->snapshots = snapshots;
    struct snapshot *none = snapshot_pool_take(snapshots);
    snapshot_begin(none);
    live->back.snapshot = none;
    if (realpath(options->folder != NULL ? options->folder : ".", live->folder) == NULL) {
        live->folder[0] = '\0'; /* a name alone does it as well */
    }
    text_copy(live->back.folder, sizeof live->back.folder, live->folder);
    live->front.view.snapshot = snapshot_pool_hold(snapshots, none);
    live->bell[0] = live->bell[1] = -1;
    pthread_mutex_init(&live->lock, NULL);
    live->ring = ring_create(RING_SAMPLES, sizeof(struct sample));
    if (live->ring == NULL || !session_reports_start(&live->reports) || pipe(live->bell) != 0) {
        problem_set(problem, "no memory or descriptors for a live session");
        release(live);
        return NULL;
    }
    if (options->trace_path != NULL) {
        live->trace = fopen(options->trace_path, "w");
    }
    if (!begin(live, wait, problem) || !live_work_start(live, problem)) {
        release(live);
        return NULL;
    }
    live_work_first_offers(live);
    live_job_name(live, false);
    *last_number = session_records(live->session)->last_sample;
    *last_time_us = session_records(live->session)->last_time_us;
    if (options->resume_session > 0) {
        char doubt[200];
        if (!session_clock_went_on(session_records(live->session)->started_ms, clock_wall_ms(),
                                   last_time_us, doubt, sizeof doubt)) {
            live_session_answer_with(live, 0, true, doubt);
        }
    }
    publish(live);
    if (pthread_create(&live->thread, NULL, session_main, live) != 0) {
        problem_set(problem, "no thread for the session");
        if (live_work_end(live)) {
            release(live);
        }
        return NULL;
    }
    return live;
}

void live_session_sensors(const struct live_session *live, struct placing_record *placing)
{
    const struct session_record *record = session_records(live->session);
    memset(placing, 0, sizeof *placing);
    if (live->options->resume_session > 0 && record->placing_count > 0) {
        *placing = record->placing[record->placing_count - 1];
    }
}

bool live_session_stop(struct live_session *live)
{
    atomic_store(&live->stop, true);
    atomic_store(&live->rung, false);
    live_session_ring(live);
    pthread_join(live->thread, NULL);
    /* A hold in progress ends here; what there is of it is kept, and the session can be gone on
     * with. */
    if (session_phase(live->session) != VIEW_ENDED) {
        session_command(live->session, "stop", NULL);
    }
    bool ended = live_work_end(live);
    if (ended) {
        release(live);
    }
    return ended;
}
