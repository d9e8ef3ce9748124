/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis/check.h"

#include "base/text.h"
#include "measure/rules.h"
#include "record/typed.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

const char *const check_rig_after[] = {"block off", "hand off", "distance off", "plate off", NULL};

static int find_channel(const struct placing_record *placing, const char *name)
{
    for (int c = 0; placing != NULL && c < placing->channel_count; c++) {
        if (text_equal(placing->channel[c].name, name)) {
            return c;
        }
    }
    return -1;
}

static bool no_channel(const struct placing_record *placing, const char *kind, const char *name,
                       struct problem *problem)
{
    char known[256] = "";
    size_t used = 0;
    for (int c = 0; placing != NULL && c < placing->channel_count; c++) {
        if (placing->channel[c].role != ROLE_AUXILIARY) {
            text_append(known, sizeof known, &used, "%s%s", used > 0 ? ", " : "",
                        placing->channel[c].name);
        }
    }
    if (name == NULL) {
        return problem_usage(problem, "%s: say which sensor; there are: %s", kind,
                             known[0] != '\0' ? known : "none so far");
    }
    return problem_usage(problem, "%s: '%s' is no time and no sensor; there are: %s", kind, name,
                         known[0] != '\0' ? known : "none so far");
}

static bool add_phase(struct check_plan *plan, double pause_s, double length_s,
                      const char *rig_before, const char *rig_during, const char *ask)
{
    struct check_phase *phase = &plan->phase[plan->phase_count];
    phase->pause_s = pause_s;
    phase->length_s = length_s;
    snprintf(phase->ask, sizeof phase->ask, "%s", ask);
    snprintf(phase->rig_before, sizeof phase->rig_before, "%s", rig_before);
    snprintf(phase->rig_during, sizeof phase->rig_during, "%s", rig_during);
    plan->phase_count++;
    return true;
}

/* What was said behind the kind. */
struct said {
    const char *kind;
    int channel; /* -1 */
    const char *channel_name;
    double length_s, pause_s, block_mm, block_u_mm; /* NAN = not said */
    double known_mm[CHECK_PHASES_MAX];
    int known_count;
};

static bool said_number(const struct words *words, enum typed which, double *value,
                        struct problem *problem)
{
    if (typed_read(words, which, value, problem)) {
        return true;
    }
    problem->kind = PROBLEM_USAGE;
    return false;
}

/* A plain number behind 'calibrate' is a known distance; with an s it is a time. */
static bool read_plain_word(const char *text, const struct placing_record *placing,
                            struct said *said, struct problem *problem)
{
    double number = 0.0;
    size_t length = strlen(text);
    bool is_time = length > 0 && text[length - 1] == 's';
    int channel = find_channel(placing, text);
    if (channel >= 0) {
        said->channel = channel;
        said->channel_name = text;
        return placing->channel[channel].role != ROLE_AUXILIARY ||
               problem_usage(problem, "%s: '%s' is no range sensor", said->kind, text);
    }
    if (text_equal(said->kind, "calibrate") && !is_time) {
        if (!words_number(text, "mm", &number, NULL)) {
            return no_channel(placing, said->kind, text, problem);
        }
        if (!typed_text(text, TYPED_RANGE, &number)) {
            return problem_usage(problem, "calibrate: '%s' is no distance from %g to %g mm", text,
                                 typed_numbers[TYPED_RANGE].least, typed_numbers[TYPED_RANGE].most);
        }
        if (said->known_count == CHECK_PHASES_MAX) {
            return problem_usage(problem, "calibrate: no more than %d distances", CHECK_PHASES_MAX);
        }
        said->known_mm[said->known_count++] = number;
        return true;
    }
    if (!words_number(text, "s", &number, NULL)) {
        return no_channel(placing, said->kind, text, problem);
    }
    if (!typed_text(text, TYPED_CHECK_S, &number)) {
        return problem_usage(problem, "%s: '%s' is no time from %g to %g s", said->kind, text,
                             typed_numbers[TYPED_CHECK_S].least, typed_numbers[TYPED_CHECK_S].most);
    }
    said->length_s = number;
    return true;
}

static bool read_words(const struct words *words, int first, const struct placing_record *placing,
                       struct said *said, struct problem *problem)
{
    static const char *const keys[] = {"block", "block_u", "pause", "sure"};
    said->channel = -1;
    said->length_s = said->pause_s = said->block_mm = said->block_u_mm = NAN;
    for (int i = first + 1; i < words->count; i++) {
        const char *key = words->word[i].key;
        bool known = key == NULL;
        for (size_t k = 0; !known && k < sizeof keys / sizeof keys[0]; k++) {
            known = text_equal(keys[k], key);
        }
        if (!known) {
            return problem_usage(problem, "%s does not know '%s='", said->kind, key);
        }
        if (key == NULL && !read_plain_word(words->word[i].value, placing, said, problem)) {
            return false;
        }
    }
    const char *pause = words_value(words, "pause");
    if (pause != NULL && text_equal(pause, "key")) {
        said->pause_s = INFINITY;
    } else if (!said_number(words, TYPED_PAUSE, &said->pause_s, problem)) {
        return false;
    }
    return said_number(words, TYPED_BLOCK, &said->block_mm, problem) &&
           said_number(words, TYPED_BLOCK_U, &said->block_u_mm, problem);
}

static double either(double said, double otherwise)
{
    return isnan(said) ? otherwise : said;
}

/* The time before the first readings: somebody who waits for a key wants it there too. */
static double first_pause(const struct said *said)
{
    return isinf(said->pause_s) ? INFINITY : CHECK_FIRST_PAUSE_S;
}

static bool plan_still(const struct said *said, struct check_plan *plan)
{
    return add_phase(plan, first_pause(said), either(said->length_s, STILL_S), "plate 930", "",
                     "let the sensors look at a fixed plate, and touch nothing");
}

static bool plan_step(const struct said *said, struct check_plan *plan, struct problem *problem)
{
    char ask[160], rig[64];
    double length_s = either(said->length_s, STEP_S);
    if (isnan(said->block_mm)) {
        return problem_usage(problem, "step: say how thick the block is, as block=25");
    }
    plan->asked_mm[0] = said->block_mm;
    plan->block_u_mm = either(said->block_u_mm, 0.0);
    snprintf(ask, sizeof ask, "a flat plate in the beam of %s, nothing on it", said->channel_name);
    add_phase(plan, first_pause(said), length_s, "plate 930", "", ask);
    snprintf(ask, sizeof ask, "lay the block of %g mm on the plate, in the beam of %s",
             said->block_mm, said->channel_name);
    snprintf(rig, sizeof rig, "block %g %.31s", said->block_mm, said->channel_name);
    return add_phase(plan, either(said->pause_s, CHECK_PAUSE_S), length_s, rig, "", ask);
}

static bool plan_beam(const struct said *said, struct check_plan *plan)
{
    char ask[160], rig[64];
    double length_s = either(said->length_s, BEAM_S);
    bool block = !isnan(said->block_mm);
    plan->asked_mm[0] = said->block_mm;
    snprintf(ask, sizeof ask, "leave the beam of %s alone", said->channel_name);
    add_phase(plan, first_pause(said), length_s, block ? "plate 930" : "", "", ask);
    if (block) {
        snprintf(ask, sizeof ask, "hold the block of %g mm against what the beam of %s sees",
                 said->block_mm, said->channel_name);
        snprintf(rig, sizeof rig, "block %g %.31s", said->block_mm, said->channel_name);
    } else {
        snprintf(ask, sizeof ask, "move a hand slowly up and down in the beam of %s",
                 said->channel_name);
        snprintf(rig, sizeof rig, "hand %.31s", said->channel_name);
    }
    return add_phase(plan, either(said->pause_s, block ? CHECK_PAUSE_S : CHECK_RIDER_PAUSE_S),
                     length_s, rig, "", ask);
}

static bool plan_rider(const struct said *said, struct check_plan *plan)
{
    double length_s = either(said->length_s, RIDER_S) / (double)RIDER_PHASES;
    double pause_s = either(said->pause_s, CHECK_RIDER_PAUSE_S);
    char nod[64], rise[64], wave[64];
    snprintf(nod, sizeof nod, "nod 45 %gs", length_s);
    snprintf(rise, sizeof rise, "rise 60 %gs", length_s);
    snprintf(wave, sizeof wave, "wave %gs", length_s);
    add_phase(plan, first_pause(said), length_s, "", "", "pedal evenly in the posture");
    add_phase(plan, pause_s, length_s, "", nod, "nod slowly, deep, and go on pedalling");
    add_phase(plan, pause_s, length_s, "", wave,
              "keep the body still; wave the hands, move the thumbs, touch the straw");
    return add_phase(plan, pause_s, length_s, "", rise, "come up with the whole body, and down");
}

static bool plan_calibration(const struct said *said, struct check_plan *plan,
                             struct problem *problem)
{
    if (said->known_count < 2) {
        return problem_usage(problem,
                             "calibrate: say two known distances or more, as 200 400 600 (in mm, "
                             "from the sensor to the plate)");
    }
    bool differ = false;
    for (int i = 0; i < said->known_count; i++) {
        char ask[160], rig[64];
        double known_mm = said->known_mm[i];
        differ = differ || known_mm != said->known_mm[0];
        plan->asked_mm[i] = known_mm;
        snprintf(ask, sizeof ask, "a flat plate square to the beam of %s, %g mm from the sensor",
                 said->channel_name, known_mm);
        snprintf(rig, sizeof rig, "distance %g %.31s", known_mm, said->channel_name);
        add_phase(plan, i == 0 ? first_pause(said) : either(said->pause_s, CHECK_PAUSE_S),
                  either(said->length_s, CALIBRATION_S), rig, "", ask);
    }
    return differ || problem_usage(problem, "calibrate: all distances are the same");
}

bool check_plan_read(const struct words *words, int first, const struct placing_record *placing,
                     struct check_plan *plan, struct problem *problem)
{
    struct said said = {.kind = words->count > first ? words->word[first].value : ""};
    memset(plan, 0, sizeof *plan);
    for (int i = 0; i < CHECK_PHASES_MAX; i++) {
        plan->asked_mm[i] = NAN;
    }
    int kind = word_find(&check_verb_words, said.kind, CHECK_KINDS);
    if (kind == CHECK_KINDS || words->word[first].key != NULL) {
        return problem_usage(problem, "check: '%s' is none of rider, beam, step, still", said.kind);
    }
    plan->kind = (enum check_kind)kind;
    if (!read_words(words, first, placing, &said, problem)) {
        return false;
    }
    plan->channel = said.channel;
    bool one_channel = kind == CHECK_STEP || kind == CHECK_BEAM || kind == CHECK_CALIBRATION;
    if (one_channel && said.channel < 0) {
        return no_channel(placing, said.kind, NULL, problem);
    }
    if (!isnan(said.block_mm) && kind != CHECK_STEP && kind != CHECK_BEAM) {
        return problem_usage(problem, "%s does not know 'block='", said.kind);
    }
    switch (plan->kind) {
    case CHECK_STILL:
        return plan_still(&said, plan);
    case CHECK_STEP:
        return plan_step(&said, plan, problem);
    case CHECK_BEAM:
        return plan_beam(&said, plan);
    case CHECK_RIDER:
        return said.channel < 0 ? plan_rider(&said, plan)
                                : problem_usage(problem, "rider: it is of all sensors at once");
    case CHECK_CALIBRATION:
    case CHECK_KINDS:
        break;
    }
    return plan_calibration(&said, plan, problem);
}
