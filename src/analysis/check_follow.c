/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "check_follow.h"

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

static void judge_valid(const struct readings *readings, int channel, struct judging *judging)
{
    if (readings->all > 0 && (double)readings->good < RIDER_VALID_SHARE * (double)readings->all) {
        check_worsen(judging, CHECK_FAILED);
        FIND(judging, CHECK_FOUND_BAD_READINGS, channel,
             100.0 * (1.0 - (double)readings->good / (double)readings->all));
    }
}

/* ---- beam ------------------------------------------------------------------------------------ */

static bool excursion_of(const struct placing_record *placing, int channel, double sign,
                         const struct check_stretch *before_stretch,
                         const struct check_stretch *during_stretch, struct judging *judging,
                         struct excursion *excursion)
{
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
    return check_measured(judging, channel, status);
}

/* How much of the movement of one channel shows in another, where both have good readings. */
static struct crosstalk crosstalk_of(const struct placing_record *placing, int moved, int other,
                                     const struct check_stretch *stretch)
{
    double *pairs = malloc(2 * (stretch->count + 1) * sizeof *pairs);
    struct crosstalk crosstalk = {NAN, NAN};
    size_t count = 0;
    if (pairs == NULL) {
        return crosstalk;
    }
    double *other_mm = pairs + stretch->count + 1;
    for (size_t i = 0; i < stretch->count; i++) {
        const struct sample *sample = &stretch->samples[i];
        if (sample->quality[moved] == READING_GOOD && sample->quality[other] == READING_GOOD) {
            pairs[count] = placing->channel[moved].gain * sample->range_tenth_mm[moved] / 10.0;
            other_mm[count++] = placing->channel[other].gain * sample->range_tenth_mm[other] / 10.0;
        }
    }
    if (crosstalk_find(pairs, other_mm, count, &crosstalk) != MEASURE_OK) {
        crosstalk = (struct crosstalk){NAN, NAN};
    }
    free(pairs);
    return crosstalk;
}

static void put_excursion(struct judging *judging, int channel, int phase,
                          const struct excursion *excursion)
{
    check_put(judging, CHECK_DOWN, channel, phase, excursion->down_mm);
    check_put(judging, CHECK_UP, channel, phase, excursion->up_mm);
}

static enum follow_verdict judge_moved(const struct check_plan *plan, int channel,
                                       const struct excursion *moved, struct judging *judging)
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
            FIND(judging, CHECK_FOUND_FOLLOWS_HAND, channel, moved->down_mm);
        } else {
            FIND(judging, CHECK_FOUND_FOLLOWS_BLOCK, channel, -moved->shift_mm, block_mm);
        }
        return verdict;
    case FOLLOW_WRONG_WAY:
        FIND(judging, CHECK_FOUND_WRONG_WAY, channel, NAN);
        break;
    case FOLLOW_WRONG_AMOUNT:
        FIND(judging, CHECK_FOUND_WRONG_AMOUNT, channel, -moved->shift_mm, block_mm);
        break;
    case FOLLOW_NOTHING:
    case FOLLOW_DISTURBED:
        FIND(judging, CHECK_FOUND_NO_RESPONSE, channel, NAN);
        break;
    }
    check_worsen(judging, CHECK_FAILED);
    return verdict;
}

/* Another beam while one was moved in: it stays, sees the same, or something else moved in it.
 * True: it stays. */
static bool judge_other(const struct check_plan *plan, const struct placing_record *placing, int c,
                        const struct check_stretch *during, enum follow_verdict verdict,
                        const struct excursion *moved, const struct excursion *other,
                        struct judging *judging)
{
    bool by_hand = isnan(plan->asked_mm[0]);
    struct crosstalk with = crosstalk_of(placing, plan->channel, c, during);
    double share = by_hand ? with.share : other->shift_mm / moved->shift_mm;
    if (verdict == FOLLOW_RIGHT) {
        check_put(judging, CHECK_CROSSTALK, c, 0, share);
    }
    double moved_mm = fmax(moved->down_mm, moved->up_mm);
    struct follow_wanted wanted = {
        .way = FOLLOW_STAYS,
        .least_mm = fmax(OTHERS_LEAST_MM,
                         verdict == FOLLOW_RIGHT && by_hand ? OTHERS_SHARE * moved_mm : 0.0),
        .amount_mm = NAN};
    if (!by_hand) {
        wanted.least_mm = fmin(wanted.least_mm, plan->asked_mm[0] / (double)OTHERS_BLOCK_PART);
    }
    if (follow_judge(other, &wanted) == FOLLOW_RIGHT) {
        return true;
    }
    if (by_hand && verdict == FOLLOW_RIGHT && fabs(with.correlation) < CROSSTALK_WITH) {
        check_worsen(judging, CHECK_UNCERTAIN);
        FIND(judging, CHECK_FOUND_MOVES_BY_ITSELF, c, NAN);
        return false;
    }
    check_worsen(judging, CHECK_FAILED);
    FIND(judging, verdict == FOLLOW_NOTHING ? CHECK_FOUND_SWAPPED : CHECK_FOUND_CROSSTALK, c,
         verdict == FOLLOW_NOTHING ? (double)NAN : 100 * fabs(share));
    return false;
}

void check_judge_beam(const struct check_plan *plan, const struct placing_record *placing,
                      const struct check_stretch *stretches, struct judging *judging)
{
    int channel = plan->channel;
    struct excursion moved = {0};
    if (!excursion_of(placing, channel, 1.0, &stretches[0], &stretches[1], judging, &moved)) {
        return;
    }
    check_put(judging, CHECK_RANGE, channel, 0, moved.before_mm);
    check_put(judging, CHECK_SHIFT, channel, 0, moved.shift_mm);
    put_excursion(judging, channel, 0, &moved);
    enum follow_verdict verdict = judge_moved(plan, channel, &moved, judging);
    bool alone = true;
    for (int c = 0; c < placing->channel_count; c++) {
        struct excursion other = {0};
        if (c == channel || !is_checked(placing, c) ||
            !excursion_of(placing, c, 1.0, &stretches[0], &stretches[1], judging, &other)) {
            continue;
        }
        put_excursion(judging, c, 0, &other);
        alone =
            judge_other(plan, placing, c, &stretches[1], verdict, &moved, &other, judging) && alone;
    }
    if (alone && verdict == FOLLOW_RIGHT && placing->channel_count > 1) {
        FIND(judging, CHECK_FOUND_ALONE, channel, NAN);
    }
}

/* ---- rider ----------------------------------------------------------------------------------- */

struct asked_of_rider {
    int phase;
    enum follow_way way;
    enum check_found nothing, wrong; /* of a channel that does not do it */
};

static const struct asked_of_rider nodding = {RIDER_NODS, FOLLOW_DOWN, CHECK_FOUND_NO_NOD,
                                              CHECK_FOUND_NOD_WRONG_WAY};
static const struct asked_of_rider rising = {RIDER_RISES, FOLLOW_UP, CHECK_FOUND_NO_RISE,
                                             CHECK_FOUND_RISE_WRONG_WAY};
static const struct asked_of_rider hands = {RIDER_HANDS, FOLLOW_STAYS, CHECK_FOUND_HANDS,
                                            CHECK_FOUND_HANDS};

static void judge_asked(const struct placing_record *placing, int channel,
                        const struct asked_of_rider *asked, const struct check_stretch *stretches,
                        struct judging *judging)
{
    const struct channel_record *recorded = &placing->channel[channel];
    /* heights: a sensor that looks down at the body reads shorter when it comes up */
    double sign = recorded->mounted && recorded->mount.direction < 0 ? -1.0 : 1.0;
    struct excursion excursion = {0};
    if (!excursion_of(placing, channel, sign, &stretches[RIDER_PEDALS], &stretches[asked->phase],
                      judging, &excursion)) {
        return;
    }
    put_excursion(judging, channel, asked->phase, &excursion);
    struct follow_wanted wanted = {.way = asked->way,
                                   .least_mm =
                                       asked->way == FOLLOW_STAYS ? HANDS_LEAST_MM : BODY_LEAST_MM,
                                   .amount_mm = NAN};
    enum follow_verdict verdict = follow_judge(&excursion, &wanted);
    if (verdict == FOLLOW_RIGHT) {
        return;
    }
    check_worsen(judging, CHECK_FAILED);
    FIND(judging, verdict == FOLLOW_NOTHING ? asked->nothing : asked->wrong, channel, NAN);
}

static void judge_two_levels(const struct placing_record *placing, int channel,
                             const struct check_stretch *stretches, struct judging *judging)
{
    struct readings readings;
    struct two_levels levels;
    if (!readings_of(placing, channel, false, &stretches[RIDER_PEDALS], &readings)) {
        check_measured(judging, channel, MEASURE_NO_MEMORY);
        return;
    }
    judge_valid(&readings, channel, judging);
    enum measure_status status = two_levels_find(readings.mm, readings.good, &levels);
    if (check_measured(judging, channel, status)) {
        if (levels.is_two) {
            check_worsen(judging, CHECK_FAILED);
            FIND(judging, CHECK_FOUND_TWO_LEVELS, channel, levels.high_mm - levels.low_mm);
        }
    }
    readings_free(&readings);
}

void check_judge_rider(const struct placing_record *placing, const struct check_stretch *stretches,
                       struct judging *judging)
{
    int bodies = 0;
    bool any_head = false;
    for (int c = 0; c < placing->channel_count; c++) {
        const struct channel_record *recorded = &placing->channel[c];
        if (recorded->role != ROLE_BODY) {
            continue;
        }
        bodies++;
        judge_two_levels(placing, c, stretches, judging);
        if (text_equal(recorded->name, "head")) {
            any_head = true;
            judge_asked(placing, c, &nodding, stretches, judging);
        }
        judge_asked(placing, c, &hands, stretches, judging);
        if (text_equal(recorded->name, "head") || text_equal(recorded->name, "chest")) {
            judge_asked(placing, c, &rising, stretches, judging);
        }
    }
    if (bodies == 0) {
        check_worsen(judging, CHECK_UNCERTAIN);
        FIND(judging, CHECK_FOUND_NO_BODY, -1, NAN);
    } else if (judging->check->verdict == CHECK_PASSED) {
        FIND(judging, any_head ? CHECK_FOUND_HEAD_AND_BODY : CHECK_FOUND_BODY, -1, NAN);
    }
}
