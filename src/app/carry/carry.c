/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "carry_inside.h"

#include "base/text.h"
#include "record/typed.h"
#include "store/store.h"

#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- opening -------------------------------------------------------------------------------- */

static bool find_on_bike(struct carry *carry, int number, struct problem *problem)
{
    const struct session_record *record = carry->record;
    if (number > 0) {
        carry->on_bike = session_record_setup(record, number);
        return carry->on_bike >= 0 ||
               problem_set(problem, "there is no setup %d in that session: it has %d", number,
                           record->setup_count);
    }
    carry->on_bike = session_record_setup(record, record->settings.chosen_setup);
    if (carry->on_bike < 0 && record->build_count > 0) {
        carry->on_bike = record->build[record->build_count - 1].setup;
    }
    return carry->on_bike >= 0 ||
           problem_set(problem, "that session says nothing of a bike: there is nothing to carry");
}

/* 'last' and a rider's code mean an earlier session that has a bike, not the one that runs. */
struct earlier {
    const struct uuid *running;
    const char *words;
    bool last;
    int64_t id;
};

static bool match_earlier(void *context, const struct store_session *session)
{
    struct earlier *earlier = context;
    if (session->setups > 0 && (earlier->last || text_equal(session->rider_code, earlier->words)) &&
        (earlier->running == NULL || !uuid_equal(earlier->running, &session->uuid))) {
        earlier->id = session->id;
    }
    return earlier->id == 0;
}

bool carry_find(const char *store_path, const char *words, const struct uuid *running, int64_t *id,
                struct problem *problem)
{
    struct earlier earlier = {running, words, text_equal(words, "last"), 0};
    char standard[PATH_MAX];
    if (store_path == NULL && !store_default_path(standard, sizeof standard, problem)) {
        return false;
    }
    struct store *store =
        store_open(store_path != NULL ? store_path : standard, STORE_READ, problem);
    bool done = store != NULL && store_list(store, match_earlier, &earlier, problem);
    if (done && earlier.id == 0) {
        done = earlier.last ? problem_set(problem, "there is no earlier session in the store")
                            : store_find_session(store, words, &earlier.id, problem);
    }
    store_close(store);
    *id = earlier.id;
    return done;
}

static struct carry *open_carry(const char *store_path, int64_t id, int on_bike,
                                const struct store_watch *watch, struct problem *problem)
{
    char words[32];
    snprintf(words, sizeof words, "%lld", (long long)id);
    struct carry *carry = calloc(1, sizeof *carry);
    if (carry == NULL) {
        problem_set(problem, "no memory for a session to carry over");
        return NULL;
    }
    carry->loaded = loaded_session_open_watched(store_path, words, watch, problem);
    if (carry->loaded != NULL) {
        loaded_session_leave_store(carry->loaded);
        const struct report_input *input = loaded_session_input(carry->loaded);
        carry->record = input->record;
        carry->analysis = input->analysis;
    }
    if (carry->loaded == NULL || !find_on_bike(carry, on_bike, problem)) {
        carry_close(carry);
        return NULL;
    }
    return carry;
}

void carry_close(struct carry *carry)
{
    if (carry != NULL) {
        loaded_session_close(carry->loaded);
        free(carry);
    }
}

/* The sentences one by one: a note each, so that they are found in the session's report. */
static bool give_notes(char *sentences, carry_sink *sink, void *context, struct problem *problem)
{
    char *rest = NULL;
    for (char *one = strtok_r(sentences, "\n", &rest); one != NULL;
         one = strtok_r(NULL, "\n", &rest)) {
        struct carry_text note = {"", 0};
        carry_put(&note, "note");
        carry_put_quoted(&note, NULL, one);
        if (!carry_give(&note, sink, context, problem)) {
            return false;
        }
    }
    return true;
}

/* Before anything is taken over: what a line would stumble over half way. */
static bool fits(const struct carry *carry, const struct session *now, bool target_only,
                 struct problem *problem)
{
    const struct session_record *record = session_records(now);
    enum view_phase phase = session_phase(now);
    if (phase != VIEW_LIVE && phase != VIEW_WAITING) {
        return problem_set(problem, phase == VIEW_ENDED ? "the session has ended"
                                                        : "a hold is in progress: stop it first");
    }
    if (uuid_equal(&record->uuid, &carry->record->uuid)) {
        return problem_set(problem, "that is the session that is running");
    }
    if (record->has_rider && carry->record->has_rider &&
        !text_equal(record->rider.code, carry->record->rider.code)) {
        return problem_set(problem, "that session is of %s, this one of %s",
                           carry->record->rider.code, record->rider.code);
    }
    if (!target_only && (record->has_bike || record->setup_count > 0)) {
        return problem_set(problem, "this session has a bike and setups of its own already; with "
                                    "'target' at the end the target alone comes over");
    }
    return true;
}

/* All lines of it are one act, which can be taken back as one. */
struct together {
    carry_sink *sink;
    void *context;
    bool begun;
};

static bool give_together(void *context, const char *line, struct problem *problem)
{
    struct together *together = context;
    char joined[COMMAND_TEXT_SIZE];
    snprintf(joined, sizeof joined, "%s%.*s", together->begun ? "and " : "", (int)sizeof joined - 5,
             line);
    bool done = together->sink(together->context, joined, problem);
    together->begun = together->begun || done;
    return done;
}

/* Both into a session, and the sentences into its notes. target_only: only the second. */
static bool carry_into(const struct carry *carry, struct session *now, bool target_only,
                       carry_sink *sink, void *context, struct problem *problem)
{
    char sentences[2048], again[] =
                              "where the sensors are is taken from the earlier session: measure "
                              "it again (tape, or sensor ... y=...)";
    struct together all = {sink, context, false};
    if (!target_only && !carry_bike(carry, give_together, &all, problem)) {
        return false;
    }
    return carry_target(carry, now, give_together, &all, sentences, sizeof sentences, problem) &&
           (target_only || give_notes(again, give_together, &all, problem)) &&
           give_notes(sentences, give_together, &all, problem);
}

/* ---- a line --------------------------------------------------------------------------------- */

bool carry_read_order(const struct words *words, struct carry_order *order, struct problem *problem)
{
    const char *on = words_value(words, "on");
    *order = (struct carry_order){.on_bike = 0};
    for (int i = 2; i < words->count; i++) {
        const struct word *word = &words->word[i];
        if (word->key == NULL && text_equal(word->value, "target")) {
            order->target_only = true;
        } else if (word->key == NULL && text_equal(word->value, "look")) {
            order->look = true;
        } else if (word->key == NULL || !text_equal(word->key, "on")) {
            return problem_set(problem, "carry: '%s' is not understood", word->value);
        }
    }
    if (words->count < 2 || words->word[1].key != NULL) {
        return problem_set(problem, "carry: say which session, such as 'carry last' or 'carry 12'");
    }
    if (on != NULL && !typed_whole(on, TYPED_SETUP, &order->on_bike)) {
        return problem_set(problem, "carry: on=%s is no number of a setup", on);
    }
    text_copy(order->session, sizeof order->session, words->word[1].value);
    return true;
}

struct carry *carry_fetch(const char *store_path, const struct carry_order *order,
                          const struct uuid *running, const struct store_watch *watch,
                          struct problem *problem)
{
    int64_t id = 0;
    struct carry *carry = NULL;
    if (store_path == NULL) {
        problem_set(problem, "there is no store to carry from");
    } else if (carry_find(store_path, order->session, running, &id, problem)) {
        carry = open_carry(store_path, id, order->on_bike, watch, problem);
    }
    if (carry == NULL) {
        problem_prefix(problem, "carry");
    }
    return carry;
}

bool carry_follow(const struct carry *carry, const struct carry_order *order, struct session *now,
                  carry_sink *sink, void *context, char *sentences, size_t size,
                  struct problem *problem)
{
    text_copy(sentences, size, "");
    bool done = fits(carry, now, order->target_only, problem) &&
                (order->look ? carry_look(carry, now, order->target_only, sentences, size, problem)
                             : carry_into(carry, now, order->target_only, sink, context, problem));
    return done || problem_prefix(problem, "carry");
}

bool carry_line(const char *store_path, const struct words *words, struct session *now,
                carry_sink *sink, void *context, char *sentences, size_t size,
                struct problem *problem)
{
    struct carry_order order;
    text_copy(sentences, size, "");
    if (!carry_read_order(words, &order, problem)) {
        return false;
    }
    struct carry *carry =
        carry_fetch(store_path, &order, &session_records(now)->uuid, NULL, problem);
    bool done =
        carry != NULL && carry_follow(carry, &order, now, sink, context, sentences, size, problem);
    carry_close(carry);
    return done;
}
