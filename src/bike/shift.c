/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "bike/shift.h"

#include "base/angle.h"
#include "base/text.h"
#include "measure/rules.h"

#include <math.h>
#include <string.h>

int carrier_movers(enum carrier carrier, const enum bike_key **keys)
{
    static const enum bike_key movers[] = {
        BIKE_STACK,           BIKE_REACH,         BIKE_HEAD_ANGLE,   BIKE_HEADSET_CAP,
        BIKE_SPACERS,         BIKE_STEM_LENGTH,   BIKE_STEM_ANGLE,   BIKE_STEM_CLAMP_HEIGHT,
        BIKE_BAR_ROLL,        BIKE_PAD_RISE,      BIKE_PAD_FORE_AFT, BIKE_EXTENSION_LENGTH,
        BIKE_EXTENSION_ANGLE, BIKE_EXTENSION_RISE};
    static const int counts[CARRIERS] = {[CARRIER_STAND] = 0,
                                         [CARRIER_FRAME] = 0,
                                         [CARRIER_BASE_BAR] = 9,
                                         [CARRIER_PAD_BRACKET] = 11,
                                         [CARRIER_EXTENSION] = 14};
    if (keys) {
        *keys = movers;
    }
    return counts[carrier];
}

/* One value on both bikes. */
struct pair {
    double from, to;
    bool differs;
};

static struct pair pair_of(const struct bike_values *first, const struct bike_values *bike,
                           enum bike_key key)
{
    struct pair pair = {bike_value(first, key), bike_value(bike, key), false};
    pair.differs = !bike_value_same(pair.from, pair.to);
    return pair;
}

bool carrier_unmoved(enum carrier carrier, const struct bike_values *first,
                     const struct bike_values *bike)
{
    const enum bike_key *keys = NULL;
    int count = carrier_movers(carrier, &keys);
    for (int i = 0; i < count; i++) {
        if (pair_of(first, bike, keys[i]).differs) {
            return false;
        }
    }
    return true;
}

/* What is being added up. */
struct sum {
    const struct bike_values *first, *bike;
    struct point moved;
    double variance;
    char missing[256];
    size_t used;
};

static void miss(struct sum *sum, const char *words)
{
    if (strstr(sum->missing, words)) {
        return;
    }
    text_append(sum->missing, sizeof sum->missing, &sum->used, "%s%s", sum->used > 0 ? ", " : "",
                words);
}

/* Difference of a value, 0 where it does not differ even if it is not known; NAN and noted where it
 * is missing on one side. */
static double change(struct sum *sum, enum bike_key key)
{
    struct pair pair = pair_of(sum->first, sum->bike, key);
    if (!pair.differs) {
        return 0.0;
    }
    if (isnan(pair.from) || isnan(pair.to)) {
        miss(sum, bike_fields[key].words);
        return NAN;
    }
    return pair.to - pair.from;
}

/* A value that is needed on both sides. */
static struct pair need(struct sum *sum, enum bike_key key)
{
    struct pair pair = pair_of(sum->first, sum->bike, key);
    if (isnan(pair.from) || isnan(pair.to)) {
        miss(sum, bike_fields[key].words);
    }
    return pair;
}

static double squared(double value)
{
    return value * value;
}

/* The stem's own part of a move of the bar clamp, and of its uncertainty. */
static void add_stem(struct sum *sum, const struct pair *head)
{
    struct pair length = pair_of(sum->first, sum->bike, BIKE_STEM_LENGTH);
    struct pair angle = pair_of(sum->first, sum->bike, BIKE_STEM_ANGLE);
    bool stem_differs = length.differs || angle.differs;
    if (!stem_differs && !head->differs) {
        return;
    }
    length = need(sum, BIKE_STEM_LENGTH);
    angle = need(sum, BIKE_STEM_ANGLE);
    struct point from = point_turned(length.from, 0.0, stem_elevation_deg(head->from, angle.from));
    struct point to = point_turned(length.to, 0.0, stem_elevation_deg(head->to, angle.to));
    sum->moved.x_mm += to.x_mm - from.x_mm;
    sum->moved.y_mm += to.y_mm - from.y_mm;
    if (stem_differs) {
        bool turned_over = length.from == length.to && angle.from == -angle.to;
        double arm = turned_over ? 2.0 * length.to : hypot(length.from, length.to);
        double u = TIE_U_STEM_LABEL_DEG * RADIANS_PER_DEGREE * arm;
        sum->variance += squared(fmax(u, TIE_U_STEM_LEAST_MM));
    }
}

static void add_clamp(struct sum *sum)
{
    sum->moved.x_mm += change(sum, BIKE_REACH);
    sum->moved.y_mm += change(sum, BIKE_STACK);
    static const struct {
        enum bike_key key;
        double share;
    } along_keys[] = {{BIKE_HEADSET_CAP, 1.0}, {BIKE_SPACERS, 1.0}, {BIKE_STEM_CLAMP_HEIGHT, 0.5}};
    struct pair head = pair_of(sum->first, sum->bike, BIKE_HEAD_ANGLE);
    double along_change = 0.0;
    bool along_differs = false;
    for (int i = 0; i < 3; i++) {
        if (pair_of(sum->first, sum->bike, along_keys[i].key).differs) {
            along_differs = true;
            along_change += along_keys[i].share * change(sum, along_keys[i].key);
            sum->variance += squared(TIE_U_SPACERS_MM);
        }
    }
    bool stem_differs = pair_of(sum->first, sum->bike, BIKE_STEM_LENGTH).differs ||
                        pair_of(sum->first, sum->bike, BIKE_STEM_ANGLE).differs;
    if (!along_differs && !stem_differs && !head.differs) {
        return;
    }
    head = need(sum, BIKE_HEAD_ANGLE);
    if (head.differs) {
        /* Another frame: the whole stack of spacers leans otherwise. */
        double from = 0.0, to = 0.0;
        for (int i = 0; i < 3; i++) {
            struct pair pair = need(sum, along_keys[i].key);
            from += along_keys[i].share * pair.from;
            to += along_keys[i].share * pair.to;
        }
        struct point low = point_turned(from, 0.0, 180.0 - head.from);
        struct point high = point_turned(to, 0.0, 180.0 - head.to);
        sum->moved.x_mm += high.x_mm - low.x_mm;
        sum->moved.y_mm += high.y_mm - low.y_mm;
    } else {
        struct point rise = point_turned(along_change, 0.0, 180.0 - head.to);
        sum->moved.x_mm += rise.x_mm;
        sum->moved.y_mm += rise.y_mm;
    }
    add_stem(sum, &head);
}

/* From the clamp centre to the pad reference point or the extension's root. Gives how far ahead of
 * the clamp that is now (0 where it is not known). */
static double add_pads(struct sum *sum, const struct pair *roll, bool extension)
{
    double rise_change = 0.0, ahead = 0.0;
    const enum bike_key rises[] = {BIKE_PAD_RISE, BIKE_EXTENSION_RISE};
    struct point from = {0.0, 0.0}, to = {0.0, 0.0};
    for (int i = 0; i < (extension ? 2 : 1); i++) {
        if (pair_of(sum->first, sum->bike, rises[i]).differs) {
            sum->variance += squared(TIE_U_SPACERS_MM);
        }
    }
    if (roll->differs) {
        struct pair fore_aft = need(sum, BIKE_PAD_FORE_AFT);
        struct pair rise = need(sum, BIKE_PAD_RISE);
        if (extension) {
            struct pair more = need(sum, BIKE_EXTENSION_RISE);
            rise.from += more.from;
            rise.to += more.to;
        }
        from = point_turned(fore_aft.from, rise.from, roll->from);
        to = point_turned(fore_aft.to, rise.to, roll->to);
        ahead = fore_aft.to;
    } else {
        for (int i = 0; i < (extension ? 2 : 1); i++) {
            rise_change += change(sum, rises[i]);
        }
        to = point_turned(change(sum, BIKE_PAD_FORE_AFT), rise_change, roll->to);
    }
    sum->moved.x_mm += to.x_mm - from.x_mm;
    sum->moved.y_mm += to.y_mm - from.y_mm;
    return ahead;
}

/* The extension from its root to its tip. Gives its length. */
static double add_rod(struct sum *sum, const struct pair *roll)
{
    struct pair length = pair_of(sum->first, sum->bike, BIKE_EXTENSION_LENGTH);
    struct pair angle = pair_of(sum->first, sum->bike, BIKE_EXTENSION_ANGLE);
    if (!length.differs && !angle.differs && !roll->differs) {
        return 0.0;
    }
    length = need(sum, BIKE_EXTENSION_LENGTH);
    angle = need(sum, BIKE_EXTENSION_ANGLE);
    struct point from = point_turned(length.from, 0.0, angle.from + roll->from);
    struct point to = point_turned(length.to, 0.0, angle.to + roll->to);
    sum->moved.x_mm += to.x_mm - from.x_mm;
    sum->moved.y_mm += to.y_mm - from.y_mm;
    if (length.differs) {
        sum->variance += squared(TIE_U_SPACERS_MM);
    }
    return length.to;
}

bool sensor_shift_make(const struct bike_values *first, const struct bike_values *bike,
                       const struct sensor_mount *mount, struct sensor_shift *shift,
                       struct problem *problem)
{
    enum carrier carrier = mount->carrier;
    *shift = (struct sensor_shift){.moved = !carrier_unmoved(carrier, first, bike)};
    if (!shift->moved) {
        return true;
    }
    struct sum sum = {.first = first, .bike = bike};
    struct pair roll = pair_of(first, bike, BIKE_BAR_ROLL);
    add_clamp(&sum);
    double ahead = 0.0, rod = 0.0;
    if (carrier == CARRIER_PAD_BRACKET || carrier == CARRIER_EXTENSION) {
        ahead = add_pads(&sum, &roll, carrier == CARRIER_EXTENSION);
    }
    if (carrier == CARRIER_EXTENSION) {
        rod = add_rod(&sum, &roll);
    }
    double turn = carrier_turn_deg(carrier, first, bike);
    shift->tilt_deg = beam_tilt_deg(mount, turn) - mount->tilt_deg;
    if (turn != 0.0) {
        double y = isnan(mount->y_mm) ? 0.0 : mount->y_mm;
        struct point arm = point_turned(mount->x_mm, y, turn);
        if (isnan(mount->x_mm)) {
            miss(&sum, "how far ahead of its carrier the sensor is");
        }
        sum.moved.x_mm += arm.x_mm - mount->x_mm;
        sum.moved.y_mm += arm.y_mm - y;
        if (roll.differs) {
            double reach = mount->x_mm + rod + ahead;
            sum.variance += squared(TIE_U_TURN_DEG * RADIANS_PER_DEGREE * reach);
        }
    }
    if (carrier == CARRIER_EXTENSION && pair_of(first, bike, BIKE_EXTENSION_ANGLE).differs) {
        sum.variance += squared(TIE_U_TURN_DEG * RADIANS_PER_DEGREE * (mount->x_mm + rod));
    }
    shift->x_mm = sum.moved.x_mm;
    shift->y_mm = sum.moved.y_mm;
    shift->u_mm = sqrt(sum.variance);
    if (sum.used > 0) {
        shift->x_mm = shift->y_mm = shift->u_mm = NAN;
        return problem_set(problem, "how far the %s moved needs %s", carrier_words[carrier],
                           sum.missing);
    }
    return true;
}
