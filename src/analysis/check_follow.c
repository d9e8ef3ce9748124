/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "check_judge.h"

#include "base/text.h"
#include "measure/follow.h"
#include "measure/rules.h"
#include "measure/statistics.h"

#include <math.h>
#include <stdlib.h>

/* The checks that ask for a movement: beam and rider. */

static bool is_checked(const struct placing_record *placing, int channel)
{
    return placing->channel[channel].role != ROLE_AUXILIARY;
}

static void judge_valid(const struct readings *readings, const char *name,
                        struct check_record *check)
{
    if (readings->all > 0 && (double)readings->good < RIDER_VALID_SHARE * (double)readings->all) {
        check_worsen(check, CHECK_FAILED);
        check_say(check, "%s: %.0f %% of the readings are missing or doubtful", name,
                  100.0 * (1.0 - (double)readings->good / (double)readings->all));
    }
}

/* ---- beam ------------------------------------------------------------------------------------ */

static bool excursion_of(const struct placing_record *placing, int channel, double sign,
                         const struct check_stretch *before_stretch,
                         const struct check_stretch *during_stretch, struct check_record *check,
                         struct excursion *excursion)
{
    const char *name = placing->channel[channel].name;
    struct readings before = {0}, during = {0};
    enum measure_status status = MEASURE_NO_MEMORY;
    if (readings_of(placing, channel, false, before_stretch, &before) &&
        readings_of(placing, channel, false, during_stretch, &during)) {
        for (size_t i = 0; i < before.good; i++) {
            before.mm[i] *= sign;
        }
        for (size_t i = 0; i < during.good; i++) {
            during.mm[i] *= sign;
        }
        status = excursion_find(before.mm, before.good, during.mm, during.good, excursion);
    }
    readings_free(&before);
    readings_free(&during);
    return check_measured(check, name, status);
}

/* How much of the movement of one channel shows in another, where both have good readings. */
static double crosstalk_share(const struct placing_record *placing, int moved, int other,
                              const struct check_stretch *stretch)
{
    double *pairs = malloc(2 * (stretch->count + 1) * sizeof *pairs), share = NAN;
    struct crosstalk crosstalk;
    size_t count = 0;
    if (pairs == NULL) {
        return NAN;
    }
    double *other_mm = pairs + stretch->count + 1;
    for (size_t i = 0; i < stretch->count; i++) {
        const struct sample *sample = &stretch->samples[i];
        if (sample->quality[moved] == READING_GOOD && sample->quality[other] == READING_GOOD) {
            pairs[count] = placing->channel[moved].gain * sample->range_tenth_mm[moved] / 10.0;
            other_mm[count++] = placing->channel[other].gain * sample->range_tenth_mm[other] / 10.0;
        }
    }
    if (crosstalk_find(pairs, other_mm, count, &crosstalk) == MEASURE_OK) {
        share = crosstalk.share;
    }
    free(pairs);
    return share;
}

static void put_excursion(struct check_record *check, int channel, int phase,
                          const struct excursion *excursion)
{
    check_put(check, CHECK_DOWN, channel, phase, excursion->down_mm);
    check_put(check, CHECK_UP, channel, phase, excursion->up_mm);
}

static enum follow_verdict judge_moved(const struct check_plan *plan, const char *name,
                                       const struct excursion *moved, struct check_record *check)
{
    double block_mm = plan->asked_mm[0];
    struct follow_wanted wanted = {.way = FOLLOW_DOWN,
                                   .least_mm = isnan(block_mm) ? HAND_LEAST_MM
                                                               : BLOCK_SEEN_SHARE * block_mm,
                                   .amount_mm = block_mm};
    wanted.tolerance_mm =
        isnan(block_mm) ? 0.0 : fmax(BLOCK_TOLERANCE_MM, BLOCK_TOLERANCE_SHARE * block_mm);
    enum follow_verdict verdict = follow_judge(moved, &wanted);
    switch (verdict) {
    case FOLLOW_RIGHT:
        if (isnan(block_mm)) {
            check_say(check, "%s follows: %.0f mm shorter", name, moved->down_mm);
        } else {
            check_say(check, "%s follows: %.1f mm shorter for the block of %g mm", name,
                      -moved->shift_mm, block_mm);
        }
        return verdict;
    case FOLLOW_WRONG_WAY:
        check_say(check, "%s reads longer, where it should read shorter", name);
        break;
    case FOLLOW_WRONG_AMOUNT:
        check_say(check, "%s changes by %.1f mm for a block of %g mm", name, -moved->shift_mm,
                  block_mm);
        break;
    case FOLLOW_NOTHING:
    case FOLLOW_DISTURBED:
        check_say(check, "%s does not respond: does its beam meet what was moved?", name);
        break;
    }
    check_worsen(check, CHECK_FAILED);
    return verdict;
}

void check_judge_beam(const struct check_plan *plan, const struct placing_record *placing,
                      const struct check_stretch *stretches, struct check_record *check)
{
    int channel = plan->channel;
    struct excursion moved = {0};
    if (!excursion_of(placing, channel, 1.0, &stretches[0], &stretches[1], check, &moved)) {
        return;
    }
    check_put(check, CHECK_RANGE, channel, 0, moved.before_mm);
    check_put(check, CHECK_SHIFT, channel, 0, moved.shift_mm);
    put_excursion(check, channel, 0, &moved);
    enum follow_verdict verdict = judge_moved(plan, placing->channel[channel].name, &moved, check);
    double moved_mm = fmax(moved.down_mm, moved.up_mm);
    bool alone = true;
    for (int c = 0; c < placing->channel_count; c++) {
        const char *name = placing->channel[c].name;
        struct excursion other = {0};
        if (c == channel || !is_checked(placing, c) ||
            !excursion_of(placing, c, 1.0, &stretches[0], &stretches[1], check, &other)) {
            continue;
        }
        double share = isnan(plan->asked_mm[0])
                           ? crosstalk_share(placing, channel, c, &stretches[1])
                           : other.shift_mm / moved.shift_mm;
        put_excursion(check, c, 0, &other);
        if (verdict == FOLLOW_RIGHT) {
            check_put(check, CHECK_CROSSTALK, c, 0, share);
        }
        struct follow_wanted wanted = {
            .way = FOLLOW_STAYS,
            .least_mm = fmax(OTHERS_LEAST_MM, verdict == FOLLOW_RIGHT && isnan(plan->asked_mm[0])
                                                  ? OTHERS_SHARE * moved_mm
                                                  : 0.0),
            .amount_mm = NAN};
        if (!isnan(plan->asked_mm[0])) {
            wanted.least_mm = fmin(wanted.least_mm, plan->asked_mm[0] / OTHERS_BLOCK_PART);
        }
        if (follow_judge(&other, &wanted) == FOLLOW_RIGHT) {
            continue;
        }
        alone = false;
        check_worsen(check, CHECK_FAILED);
        if (verdict == FOLLOW_NOTHING) {
            check_say(check, "%s responds instead: are the names of the two swapped?", name);
        } else {
            check_say(check,
                      "%s responds as well: their beams meet, or each hears the other; move them "
                      "apart, tilt them apart, or let them measure in turn",
                      name);
        }
    }
    if (alone && verdict == FOLLOW_RIGHT && placing->channel_count > 1) {
        check_say(check, "no other sensor responds");
    }
}

/* ---- rider ----------------------------------------------------------------------------------- */

struct asked_of_rider {
    int phase;
    enum follow_way way;
    const char *nothing, *wrong; /* said of a channel that does not do it */
};

static const struct asked_of_rider nodding = {
    RIDER_NODS, FOLLOW_DOWN, "does not follow the nod: does its beam meet the head?",
    "goes up when the head goes down: does the sensor look the way that was said?"};
static const struct asked_of_rider rising = {
    RIDER_RISES, FOLLOW_UP, "does not follow the body: what does its beam see?",
    "goes down when the body comes up: does the sensor look the way that was said?"};
static const struct asked_of_rider hands = {
    RIDER_HANDS, FOLLOW_STAYS, "",
    "moves with the hands: hands, thumbs or the straw are in its beam (or the rider looked up)"};

static void judge_asked(const struct placing_record *placing, int channel,
                        const struct asked_of_rider *asked, const struct check_stretch *stretches,
                        struct check_record *check)
{
    const struct channel_record *recorded = &placing->channel[channel];
    /* heights: a sensor that looks down at the body reads shorter when it comes up */
    double sign = recorded->mounted && recorded->mount.direction < 0 ? -1.0 : 1.0;
    struct excursion excursion = {0};
    if (!excursion_of(placing, channel, sign, &stretches[RIDER_PEDALS], &stretches[asked->phase],
                      check, &excursion)) {
        return;
    }
    put_excursion(check, channel, asked->phase, &excursion);
    struct follow_wanted wanted = {.way = asked->way,
                                   .least_mm =
                                       asked->way == FOLLOW_STAYS ? HANDS_LEAST_MM : BODY_LEAST_MM,
                                   .amount_mm = NAN};
    enum follow_verdict verdict = follow_judge(&excursion, &wanted);
    if (verdict == FOLLOW_RIGHT) {
        return;
    }
    check_worsen(check, CHECK_FAILED);
    check_say(check, "%s %s", recorded->name,
              verdict == FOLLOW_NOTHING ? asked->nothing : asked->wrong);
}

static void judge_two_levels(const struct placing_record *placing, int channel,
                             const struct check_stretch *stretches, struct check_record *check)
{
    const char *name = placing->channel[channel].name;
    struct readings readings;
    struct two_levels levels;
    if (!readings_of(placing, channel, false, &stretches[RIDER_PEDALS], &readings)) {
        check_measured(check, name, MEASURE_NO_MEMORY);
        return;
    }
    judge_valid(&readings, name, check);
    enum measure_status status = two_levels_find(readings.mm, readings.good, &levels);
    if (check_measured(check, name, status)) {
        if (levels.is_two) {
            check_worsen(check, CHECK_FAILED);
            check_say(check,
                      "%s jumps between two levels %.0f mm apart: the beam sees two things; aim it "
                      "at the middle of a patch",
                      name, levels.high_mm - levels.low_mm);
        }
    }
    readings_free(&readings);
}

void check_judge_rider(const struct placing_record *placing, const struct check_stretch *stretches,
                       struct check_record *check)
{
    int bodies = 0;
    bool any_head = false;
    for (int c = 0; c < placing->channel_count; c++) {
        const struct channel_record *recorded = &placing->channel[c];
        if (recorded->role != ROLE_BODY) {
            continue;
        }
        bodies++;
        judge_two_levels(placing, c, stretches, check);
        if (text_equal(recorded->name, "head")) {
            any_head = true;
            judge_asked(placing, c, &nodding, stretches, check);
        }
        judge_asked(placing, c, &hands, stretches, check);
        if (text_equal(recorded->name, "head") || text_equal(recorded->name, "chest")) {
            judge_asked(placing, c, &rising, stretches, check);
        }
    }
    if (bodies == 0) {
        check_worsen(check, CHECK_UNCERTAIN);
        check_say(check, "no sensor looks at the rider");
    } else if (check->verdict == CHECK_PASSED) {
        check_say(check, "%s; nothing follows the hands, no beam sees two things",
                  any_head ? "the head follows the nod, the body is followed up and down"
                           : "the body is followed up and down");
    }
}
