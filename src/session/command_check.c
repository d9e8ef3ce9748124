/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "commands.h"

#include "analysis/check.h"
#include "base/text.h"
#include "check_phase.h"
#include "heights.h"
#include "machine_effects.h"
#include "measure/rules.h"
#include "say/check.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Checks of the sensors within a session: each phase is a capture of the recorded stream, and what
 * was found is kept as a record. */

const struct check_plan *session_check(const struct session *session, int *phase, bool *recording)
{
    if (session->doing.activity != ACTIVITY_CHECK) {
        return NULL;
    }
    *phase = session->doing.check_phase;
    *recording = session->begun;
    return &session->doing.check_plan;
}

/* Takes a place for the capture of the next phase; its pause begins now. */
static void next_phase(struct session *session, int phase)
{
    struct session_record *record = &session->record;
    const struct check_phase *asked = &session->doing.check_plan.phase[phase];
    session->doing.capture = record->capture_count++;
    record->capture[session->doing.capture] = (struct capture_record){
        .uuid = machine_uuid(session, EFFECT_CAPTURE, session->doing.capture),
        .kind = CAPTURE_CHECK};
    session->doing.activity = ACTIVITY_CHECK;
    session->doing.check_phase = phase;
    session->begun = false;
    session->doing.asked_at_us = session->has_sample ? session->last.time_us : 0;
    session->doing.settle_s = asked->pause_s;
    session->doing.planned_s = asked->length_s;
    machine_say(session, "%s", asked->ask);
}

/* A block that is thin beside what tells it from no block: 2.5 typed of one of 25 mm would fail a
 * good sensor. */
static bool check_block(const struct words *words, struct problem *problem)
{
    double block_mm = INFINITY;
    (void)typed_read(words, TYPED_BLOCK, &block_mm, NULL);
    return block_mm >= BLOCK_LEAST_MM ||
           problem_ask(problem, "check: a block of %g mm: centimetres, or is it so thin?",
                       block_mm);
}

static bool start_check(struct session *session, const struct words *words, int first,
                        struct problem *problem)
{
    struct check_plan plan;
    if (!check_plan_read(words, first, machine_placing(session), &plan, problem)) {
        problem->kind = PROBLEM_FAILED;
        return false;
    }
    if (!machine_sure(session, words) && !check_block(words, problem)) {
        return false;
    }
    if (session->doing.activity != ACTIVITY_NONE) {
        return problem_set(problem, "check: something is in progress: end it first, or say 'stop'");
    }
    if (!acts_room(session, EFFECT_CHECK, 1) ||
        !acts_room(session, EFFECT_CAPTURE, plan.phase_count)) {
        return problem_set(problem, "no more than %d checks and %d captures in a session",
                           CHECKS_MAX, CAPTURES_MAX);
    }
    if (!machine_ensure_build(session, problem)) {
        return false;
    }
    session->doing.check_plan = plan;
    session->doing.check_first_capture = session->record.capture_count;
    next_phase(session, 0);
    return true;
}

/* check still 60s, check step head block=25, check beam head, check rider 20s, check go */
bool command_check(struct session *session, const struct words *words, struct problem *problem)
{
    if (words->count == 2 && words->word[1].key == NULL && text_equal(words->word[1].value, "go")) {
        if (session->doing.activity != ACTIVITY_CHECK || session->begun) {
            return problem_set(problem, "check go: nothing waits to be told");
        }
        session->doing.settle_s = 0.0; /* with the next sample */
        return true;
    }
    if (words->count < 2) {
        return problem_set(problem, "check: say which, as 'check step head block=25'; there are "
                                    "rider, beam, step, still");
    }
    return start_check(session, words, 1, problem);
}

/* calibrate head 200 400 600 */
bool command_calibrate(struct session *session, const struct words *words, struct problem *problem)
{
    return start_check(session, words, 0, problem);
}

/* A line that fits is taken for the placing's readings; what was sent stays as it is. */
static void take_calibration(struct session *session, const struct check_record *check)
{
    struct placing_record *placing = &session->record.placing[session->placing];
    if (check->verdict != CHECK_PASSED) {
        return;
    }
    placing->channel[check->channel].gain = check_value(check, CHECK_GAIN, check->channel, 0);
    placing->channel[check->channel].offset_mm =
        check_value(check, CHECK_OFFSET, check->channel, 0);
    machine_emit(session, EFFECT_PLACING, session->placing);
    machine_ties_changed(session);
}

static void judge(struct session *session)
{
    struct session_record *record = &session->record;
    const struct check_plan *plan = &session->doing.check_plan;
    struct check_stretch stretches[CHECK_PHASES_MAX];
    struct sample *copies[CHECK_PHASES_MAX] = {NULL};
    struct check_record *check = &record->check[record->check_count];
    bool there = session->placing >= 0;
    /* the samples of one phase last until the next are asked for */
    for (int p = 0; there && p < plan->phase_count; p++) {
        const struct capture_record *capture =
            &record->capture[session->doing.check_first_capture + p];
        const struct sample *samples = NULL;
        size_t count = 0;
        there =
            session_samples(session, capture->first_sample, capture->last_sample, &samples, &count);
        copies[p] = there ? malloc((count + 1) * sizeof *samples) : NULL;
        there = there && copies[p] != NULL;
        if (there) {
            memcpy(copies[p], samples, count * sizeof *samples);
            stretches[p] = (struct check_stretch){copies[p], count};
        }
    }
    if (!there) {
        machine_say(session, "no memory for the readings of the check");
        session->message_is_problem = true;
    } else {
        struct check_findings findings;
        double shift_mm = 0.0;
        check_record_clear(check); /* of a record that was taken out its mark stands there */
        check->uuid = machine_uuid(session, EFFECT_CHECK, record->check_count);
        check->placing = session->placing;
        check->build = session->build;
        check->capture = session->doing.check_first_capture;
        check_judge(plan, &record->placing[session->placing], stretches, check, &findings);
        if (check_step_shifted(record, record->check_count, &shift_mm)) {
            check_find(&findings, CHECK_FOUND_SHIFTED, check->channel, 1, &shift_mm);
            check->verdict = CHECK_FAILED;
        }
        say_check(check->words, sizeof check->words, &findings, &record->placing[session->placing]);
        machine_emit(session, EFFECT_CHECK, record->check_count++);
        if (check->kind == CHECK_CALIBRATION) {
            take_calibration(session, check);
        } else if (check->kind == CHECK_STEP) {
            machine_ties_changed(session);
        }
        machine_say(session, "%s: %s", word_of(&check_verdict_words, check->verdict), check->words);
        session->message_is_problem = check->verdict != CHECK_PASSED;
    }
    for (int p = 0; p < CHECK_PHASES_MAX; p++) {
        free(copies[p]);
    }
}

void check_phase_ended(struct session *session, bool stopped)
{
    double sent_mm[CHANNELS_MAX];
    session->doing.activity = ACTIVITY_NONE;
    check_ranges(session, sent_mm, session->doing.check_former_mm);
    if (stopped) {
        machine_say(session, "check stopped: nothing is kept of it");
    } else if (session->doing.check_phase + 1 < session->doing.check_plan.phase_count) {
        next_phase(session, session->doing.check_phase + 1);
    } else {
        judge(session);
    }
}
