/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "commands.h"

#include "base/text.h"
#include "capture.h"
#include "machine_effects.h"
#include "measure/rules.h"

#include <math.h>
#include <string.h>

/* Targets: captured from the rider, or heights agreed otherwise. */

static int new_target(struct session *session)
{
    struct session_record *record = &session->record;
    struct target_record *target = &record->target[record->target_count];
    memset(target, 0, sizeof *target);
    target->uuid = machine_uuid(session, EFFECT_TARGET, record->target_count);
    target->capture = -1;
    target->build = session->build;
    for (int c = 0; c < CHANNELS_MAX; c++) {
        target->entered_mm[c] = target->entered_half_width_mm[c] = NAN;
    }
    return record->target_count++;
}

static bool end_target_early(struct session *session, bool keep, struct problem *problem)
{
    if (session->doing.activity != ACTIVITY_TARGET) {
        return problem_set(problem, "target: none is being captured");
    }
    if (!keep) {
        capture_drop_target(session);
        return true;
    }
    if (!(session->begun && capture_target_can_be_kept(session))) {
        return problem_set(problem, "target: too short yet to be known: let it go on, or stop it");
    }
    capture_stop(session, HOLD_STOPPED);
    return true;
}

/* known_to=4mm: of all heights; known_to=head:4,chest:6: of each that is named. */
static bool read_known_to(struct session *session, const char *text, const double *heights_mm,
                          double *half_widths_mm, struct problem *problem)
{
    char list[WORD_SIZE], *rest = NULL;
    text_copy(list, sizeof list, text);
    for (char *item = strtok_r(list, ",", &rest); item != NULL; item = strtok_r(NULL, ",", &rest)) {
        char *colon = strchr(item, ':');
        double value_mm = 0.0;
        int only = -1;
        if (colon != NULL) {
            *colon = '\0';
            only = machine_height_channel(session, item, problem);
            if (only < 0 || isnan(heights_mm[only])) {
                return only < 0
                           ? problem_prefix(problem, "known_to")
                           : problem_set(problem, "known_to: no height of '%s' is given", item);
            }
        }
        if (!words_number(colon != NULL ? colon + 1 : item, "mm", &value_mm, problem)) {
            return problem_prefix(problem, "known_to");
        }
        if (!(value_mm > 0.0) || value_mm > 100.0) {
            return problem_set(problem, "known_to: %s is not between 0 and 100 mm", text);
        }
        for (int c = 0; c < CHANNELS_MAX; c++) {
            if (c == only || (only < 0 && !isnan(heights_mm[c]))) {
                half_widths_mm[c] = value_mm;
            }
        }
    }
    return true;
}

/* A typed target that is far from where the rider is now is a slip; or it is over the bottom
 * bracket, and what the sensor tells is not. */
static bool check_target(const struct session *session, const double heights[CHANNELS_MAX],
                         struct problem *problem)
{
    for (int c = 0; c < CHANNELS_MAX; c++) {
        const struct live_channel *live = &session->channel[c];
        const struct tie *tie = &session->analysis->tie[session->build < 0 ? 0 : session->build][c];
        bool tied = session->build >= 0 && tie_is_over_bottom_bracket(tie);
        bool reads = live->started && live->slow.state != CUE_NO_READING;
        if (isnan(heights[c]) ||
            (reads ? fabs(heights[c] - live->slow.slow_mm) <= TARGET_SLIP_MM : tied)) {
            continue;
        }
        const char *name = machine_placing(session)->channel[c].name;
        return reads
                   ? problem_ask(problem, "target: %.0f mm for %s, and the rider is at %.0f%s?",
                                 heights[c], name, live->slow.slow_mm,
                                 tied ? ": a slip"
                                      : ", which is not over the bottom bracket: is it meant so")
                   : problem_ask(problem,
                                 "target: %.0f mm for %s, whose height over the bottom bracket is "
                                 "not known: is it meant so?",
                                 heights[c], name);
    }
    return true;
}

/* Two heights each of which is the other's: typed in each other's place. */
static bool check_exchanged(const struct session *session, const double heights[CHANNELS_MAX],
                            struct problem *problem)
{
    const struct placing_record *placing = machine_placing(session);
    int count = placing != NULL ? placing->channel_count : 0;
    for (int a = 0; a < count; a++) {
        for (int b = a + 1; b < count; b++) {
            const struct live_channel *first = &session->channel[a], *second = &session->channel[b];
            double at_a = first->slow.slow_mm, at_b = second->slow.slow_mm;
            double apart = fabs(at_a - at_b) / 2.0; /* nearer to the other's: false of NAN */
            if (first->started && second->started && fabs(heights[a] - at_b) < apart &&
                fabs(heights[b] - at_a) < apart) {
                return problem_ask(problem,
                                   "target: %.0f mm is where %s is, and %.0f where %s is: typed in "
                                   "each other's place?",
                                   heights[a], placing->channel[b].name, heights[b],
                                   placing->channel[a].name);
            }
        }
    }
    return true;
}

/* target head=884 chest=771 known_to=4mm */
static bool enter_target(struct session *session, const struct words *words,
                         struct problem *problem)
{
    double heights[CHANNELS_MAX], half_widths[CHANNELS_MAX];
    const char *known_to = words_value(words, "known_to");
    for (int c = 0; c < CHANNELS_MAX; c++) {
        heights[c] = half_widths[c] = NAN;
    }
    for (int i = 1; i < words->count; i++) {
        if (words->word[i].key == NULL) {
            return problem_set(problem, "target: '%s' is no channel=height", words->word[i].value);
        }
        if (text_equal(words->word[i].key, "known_to") || text_equal(words->word[i].key, "sure")) {
            continue;
        }
        int channel = machine_height_channel(session, words->word[i].key, problem);
        if (channel < 0 || !typed_read_key(words, words->word[i].key, &typed_numbers[TYPED_TARGET],
                                           &heights[channel], problem)) {
            return false;
        }
    }
    if (known_to != NULL && !read_known_to(session, known_to, heights, half_widths, problem)) {
        return false;
    }
    if (known_to != NULL && words->count == 2) {
        return problem_set(problem, "target: known_to says nothing without a height");
    }
    if (!machine_sure(session, words) &&
        (!check_target(session, heights, problem) || !check_exchanged(session, heights, problem))) {
        return false;
    }
    if (session->doing.activity != ACTIVITY_NONE) {
        return problem_set(problem, "target: a hold is in progress: stop it first");
    }
    if (!machine_ensure_build(session, problem)) {
        return false;
    }
    int index = new_target(session);
    struct target_record *target = &session->record.target[index];
    memcpy(target->entered_mm, heights, sizeof heights);
    memcpy(target->entered_half_width_mm, half_widths, sizeof half_widths);
    target->kept = true;
    session->target = index;
    machine_emit(session, EFFECT_TARGET, index);
    analysis_add_target(&session->record, index, session_samples, session, session->analysis, NULL);
    machine_retarget(session);
    machine_say(session, "target taken as entered");
    return true;
}

static bool has_key(const struct words *words, const char *const *keys)
{
    for (int i = 1; i < words->count; i++) {
        for (int k = 0; words->word[i].key != NULL && keys[k] != NULL; k++) {
            if (text_equal(words->word[i].key, keys[k])) {
                return true;
            }
        }
    }
    return false;
}

/* target until=3mm at_least=30s at_most=90s settle=5s | target keep | target drop | target head=884
 */
bool command_target(struct session *session, const struct words *words, struct problem *problem)
{
    static const char *const keys[] = {"until", "at_least", "at_most", "settle", NULL};
    struct session_record *record = &session->record;
    if (words->count == 2 && words->word[1].key == NULL) {
        if (text_equal(words->word[1].value, "keep") || text_equal(words->word[1].value, "drop")) {
            return end_target_early(session, text_equal(words->word[1].value, "keep"), problem);
        }
        return problem_set(problem, "target: '%s' is neither keep nor drop", words->word[1].value);
    }
    if (!acts_room(session, EFFECT_TARGET, 1)) {
        return problem_set(problem, "no more than %d targets in a session", TARGETS_MAX);
    }
    if (words->count > 1 && !has_key(words, keys)) {
        return enter_target(session, words, problem);
    }
    struct target_settings settings = target_usual();
    double settle_s = SETTLE_S;
    if (!machine_only_keys(words, keys, problem) ||
        !typed_read(words, TYPED_UNTIL, &settings.until_mm, problem) ||
        !typed_read(words, TYPED_AT_LEAST, &settings.at_least_s, problem) ||
        !typed_read(words, TYPED_AT_MOST, &settings.at_most_s, problem) ||
        !typed_read(words, TYPED_SETTLE, &settle_s, problem)) {
        return false;
    }
    if (settings.at_most_s < settings.at_least_s) {
        return problem_set(problem, "target: at_most is shorter than at_least");
    }
    if (!capture_start(session, ACTIVITY_TARGET, CAPTURE_TARGET, settle_s,
                       fmin(TARGET_FIRST_LOOK_S, settings.at_most_s), problem)) {
        return false;
    }
    session->doing.target_settings = settings;
    int index = new_target(session);
    record->target[index].capture = session->doing.capture;
    record->target[index].until_mm = settings.until_mm;
    machine_say(session, "settle; then hold the posture that is to be the target");
    return true;
}
