/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "bike/bolts.h"

#include "base/language.h"
#include "base/numbers.h"
#include "base/text.h"

#include <math.h>

/* Which bolts hold a part is common practice, no source. */
static const struct {
    const char *key, *words;
} bolts_named[BIKE_BOLTS] = {
    [BOLT_TOP_CAP] = {"top_cap", N_("top cap")},
    [BOLT_STEM_CLAMP] = {"stem_clamp", N_("stem's clamp bolts")},
    [BOLT_FACEPLATE] = {"faceplate", N_("stem's faceplate bolts")},
    [BOLT_RISERS] = {"risers", N_("risers' bolts")},
    [BOLT_PADS] = {"pads", N_("pads' bolts")},
    [BOLT_EXTENSIONS] = {"extensions", N_("extensions' clamp bolts")},
    [BOLT_SEATPOST] = {"seatpost", N_("seatpost's clamp bolt")},
    [BOLT_SADDLE] = {"saddle", N_("saddle's clamp bolts")},
    [BOLT_CRANKS] = {"cranks", N_("crank bolts")},
    [BOLT_PEDALS] = {"pedals", N_("pedals")},
};

static const struct {
    int count;
    enum bike_bolt bolt[BOLTS_OF_ONE_MAX];
} holders[BIKE_KEYS] = {
    [BIKE_HEADSET_CAP] = {2, {BOLT_TOP_CAP, BOLT_STEM_CLAMP}},
    [BIKE_SPACERS] = {2, {BOLT_TOP_CAP, BOLT_STEM_CLAMP}},
    [BIKE_STEM_LENGTH] = {3, {BOLT_TOP_CAP, BOLT_STEM_CLAMP, BOLT_FACEPLATE}},
    [BIKE_STEM_ANGLE] = {3, {BOLT_TOP_CAP, BOLT_STEM_CLAMP, BOLT_FACEPLATE}},
    /* a stem's own: another stem */
    [BIKE_STEM_CLAMP_HEIGHT] = {3, {BOLT_TOP_CAP, BOLT_STEM_CLAMP, BOLT_FACEPLATE}},
    [BIKE_BAR_ROLL] = {1, {BOLT_FACEPLATE}},
    [BIKE_PAD_RISE] = {1, {BOLT_RISERS}},
    [BIKE_PAD_FORE_AFT] = {1, {BOLT_PADS}},
    [BIKE_PAD_WIDTH] = {1, {BOLT_PADS}},
    [BIKE_PAD_TILT] = {1, {BOLT_PADS}},
    [BIKE_EXTENSION_LENGTH] = {1, {BOLT_EXTENSIONS}},
    [BIKE_EXTENSION_ANGLE] = {1, {BOLT_EXTENSIONS}},
    [BIKE_EXTENSION_RISE] = {1, {BOLT_EXTENSIONS}},
    [BIKE_SADDLE_HEIGHT] = {1, {BOLT_SEATPOST}},
    [BIKE_SADDLE_SETBACK] = {1, {BOLT_SADDLE}},
    [BIKE_SADDLE_TILT] = {1, {BOLT_SADDLE}},
    [BIKE_CRANK_LENGTH] = {2, {BOLT_CRANKS, BOLT_PEDALS}},
};

void bike_torques_clear(struct bike_torques *torques)
{
    for (int i = 0; i < BIKE_BOLTS; i++) {
        torques->nm[i] = NAN;
    }
}

int bike_torques_entered(const struct bike_torques *torques)
{
    int count = 0;
    for (int i = 0; i < BIKE_BOLTS; i++) {
        count += !isnan(torques->nm[i]);
    }
    return count;
}

const char *bike_bolt_key(int bolt)
{
    return bolts_named[bolt].key;
}

const char *bike_bolt_words(int bolt)
{
    return bolts_named[bolt].words;
}

int bike_bolt_find(const char *key)
{
    for (int i = 0; i < BIKE_BOLTS; i++) {
        if (text_equal(key, bolts_named[i].key)) {
            return i;
        }
    }
    return -1;
}

bool bike_steering_comes_off(enum bike_key key)
{
    return holders[key].count > 0 && holders[key].bolt[0] == BOLT_TOP_CAP;
}

int bike_bolts_of(enum bike_key key, enum bike_bolt bolts[BOLTS_OF_ONE_MAX])
{
    for (int i = 0; i < holders[key].count; i++) {
        bolts[i] = holders[key].bolt[i];
    }
    return holders[key].count;
}

void bike_torque_text(const struct bike_torques *torques, enum bike_bolt bolt, char *text,
                      size_t size)
{
    char number[32] = "____";
    if (!isnan(torques->nm[bolt])) {
        text_from_double_shortest(number, sizeof number, torques->nm[bolt]);
    }
    text_copy(text, size, number);
}

static bool read_one(struct bike_torques *torques, const struct word *word, struct problem *problem)
{
    double nm = NAN;
    int bolt = word->key != NULL ? bike_bolt_find(word->key) : -1;
    if (bolt < 0) {
        char known[256];
        size_t used = 0;
        for (int i = 0; i < BIKE_BOLTS; i++) {
            text_append(known, sizeof known, &used, "%s%s", i > 0 ? ", " : "", bike_bolt_key(i));
        }
        return problem_usage(problem, "torque: '%s' is no bolt=N\u00b7m; bolts: %s",
                             word->key != NULL ? word->key : word->value, known);
    }
    if (!text_equal(word->value, "none") &&
        (!text_to_double(word->value, &nm) || !(nm >= TORQUE_LEAST_NM && nm <= TORQUE_MOST_NM))) {
        return problem_usage(problem,
                             "torque %s=%s: say N\u00b7m as they stand on the part, %.1f to %.0f, "
                             "or 'none'",
                             word->key, word->value, TORQUE_LEAST_NM, TORQUE_MOST_NM);
    }
    torques->nm[bolt] = nm;
    return true;
}

bool bike_torques_read_line(struct bike_torques *torques, const struct words *line,
                            struct problem *problem)
{
    struct bike_torques read = *torques;
    if (line->count < 2) {
        return problem_usage(problem, "torque: say it as it stands on the part, such as "
                                      "stem_clamp=5 faceplate=5");
    }
    for (int i = 1; i < line->count; i++) {
        bool sure = line->word[i].key != NULL && text_equal(line->word[i].key, "sure");
        if (!sure && !read_one(&read, &line->word[i], problem)) {
            return false;
        }
    }
    *torques = read;
    return true;
}

bool bike_torques_check(const struct bike_torques *torques, const struct bike_torques *former,
                        struct problem *problem)
{
    for (int i = 0; i < BIKE_BOLTS; i++) {
        if (i != BOLT_CRANKS && i != BOLT_PEDALS && torques->nm[i] > TORQUE_ASKED_NM &&
            torques->nm[i] != former->nm[i]) {
            return problem_ask(problem,
                               "torque: %s=%g N\u00b7m is much for this bolt: inch-pounds (9 are 1 "
                               "N\u00b7m), or does the part say so?",
                               bolts_named[i].key, torques->nm[i]);
        }
    }
    return true;
}
