/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "posture.h"

#include "base/angle.h"
#include "base/language.h"
#include "base/text.h"
#include "report/digest.h"
#include "report/side_view.h"

#include <math.h>
#include <stdio.h>

/* Lengths of a rider that nobody measured, mm. */
#define SHOULDER_UP 120.0
#define SHOULDER_ON 60.0
#define HIP_UP 85.0
#define THIGH 450.0
#define SHANK 470.0

/* ---- marks ---- */

/* A mark is where the sensor's beam meets the height that was measured. */
static bool mark_at(const struct report_input *input, int channel, int setup, struct point *at)
{
    const struct session_record *record = input->record;
    const struct setup_estimate *estimate = analysis_estimate(input->analysis, channel, setup);
    const struct bike_values *bike = &record->setup[setup].bike;
    struct sensor_position sensor;
    if (record->placing_count == 0 || channel >= record->placing[0].channel_count ||
        !record->placing[0].channel[channel].mounted || estimate->holds == 0 || !estimate->tied ||
        !digest_absolute(input, channel) ||
        !sensor_locate(bike, &record->setup[0].bike, &record->placing[0].channel[channel].mount,
                       &sensor, NULL) ||
        !isfinite(sensor.x_mm) || !isfinite(sensor.y_mm)) {
        return false;
    }
    double lean = tan(sensor.tilt_deg * RADIANS_PER_DEGREE);
    *at = (struct point){sensor.x_mm + (estimate->mean - sensor.y_mm) * lean, estimate->mean};
    return isfinite(at->x_mm) && isfinite(at->y_mm);
}

static void find_marks(struct posture *posture, const struct report_input *input, int chosen)
{
    for (int channel = 0; channel < input->analysis->channel_count; channel++) {
        if (!input->analysis->body[channel]) {
            continue;
        }
        struct point found = {0, 0}, now = {0, 0};
        bool has_found = mark_at(input, channel, digest_found(input), &found);
        bool has_chosen = chosen >= 0 && mark_at(input, channel, chosen, &now);
        if (has_found || has_chosen) {
            int i = posture->marks++;
            posture->mark[i].channel = channel;
            posture->mark[i].has_found = has_found;
            posture->mark[i].has_chosen = has_chosen;
            posture->mark[i].found = found;
            posture->mark[i].chosen = now;
        }
    }
}

/* ---- what moved ---- */

static void add_change(struct posture *posture, const char *words, struct point from,
                       struct point to)
{
    if (words[0] != '\0' && posture->changes < POSTURE_CHANGES_MAX) {
        struct posture_change *change = &posture->change[posture->changes++];
        *change = (struct posture_change){.from = from, .to = to};
        text_copy(change->words, sizeof change->words, words);
    }
}

static bool same_move(struct point a_from, struct point a_to, struct point b_from,
                      struct point b_to)
{
    return fabs((a_to.x_mm - a_from.x_mm) - (b_to.x_mm - b_from.x_mm)) < DIGEST_MOVED_MM &&
           fabs((a_to.y_mm - a_from.y_mm) - (b_to.y_mm - b_from.y_mm)) < DIGEST_MOVED_MM;
}

/* Of parts that moved together the one that carries the others. */
static void find_changes(struct posture *posture, const struct report_input *input, int chosen)
{
    const struct bike_points *from = &posture->found_points, *to = &posture->chosen_points;
    char words[POSTURE_WORDS_SIZE];
    for (int i = 0; i < posture->marks; i++) {
        const char *name = say_sensor(input->analysis->channel_name[posture->mark[i].channel]);
        const struct setup_difference *difference =
            analysis_difference(input->analysis, posture->mark[i].channel, chosen);
        char by[64];
        say_whole(by, sizeof by, fabs(difference->difference));
        if (difference->verdict == VERDICT_LOWER || difference->verdict == VERDICT_HIGHER) {
            snprintf(words, sizeof words,
                     difference->verdict == VERDICT_LOWER ? T_("%s %s mm lower")
                                                          : T_("%s %s mm higher"),
                     name, by);
            add_change(posture, posture->mark[i].has_found ? words : "", posture->mark[i].found,
                       posture->mark[i].chosen);
        }
    }
    posture_moved(words, sizeof words, PART_BAR, from->clamp, to->clamp);
    add_change(posture, words, from->clamp, to->clamp);
    if (from->has_pad && to->has_pad && !same_move(from->clamp, to->clamp, from->pad, to->pad)) {
        posture_moved(words, sizeof words, PART_PADS, from->pad, to->pad);
        add_change(posture, words, from->pad, to->pad);
    }
    if (from->has_extension && to->has_extension &&
        !same_move(from->pad, to->pad, from->extension_tip, to->extension_tip)) {
        posture_moved(words, sizeof words, PART_TIPS, from->extension_tip, to->extension_tip);
        add_change(posture, words, from->extension_tip, to->extension_tip);
    }
    if (from->has_saddle && to->has_saddle) {
        posture_moved(words, sizeof words, PART_SADDLE, from->saddle, to->saddle);
        add_change(posture, words, from->saddle, to->saddle);
    }
}

/* ---- what there is ---- */

/* Without a seat angle the saddle still stands about where it is. */
static struct bike_values to_draw(const struct bike_values *bike)
{
    struct bike_values values = *bike;
    if (isnan(values.value[BIKE_SEAT_ANGLE])) {
        values.value[BIKE_SEAT_ANGLE] = SIDE_SEAT_ANGLE_DEG;
    }
    return values;
}

/* Of the first two channels, which carry the body. */
static bool has_two_marks(const struct posture *posture, bool as_chosen)
{
    return posture->marks >= 2 &&
           (as_chosen ? posture->mark[0].has_chosen && posture->mark[1].has_chosen
                      : posture->mark[0].has_found && posture->mark[1].has_found);
}

bool posture_find(struct posture *posture, const struct report_input *input, int chosen)
{
    const struct session_record *record = input->record;
    if (record->setup_count == 0) {
        return false;
    }
    const int as_found = digest_found(input);
    const struct bike_values found = to_draw(&record->setup[as_found].bike);
    if (!bike_forward(&found, &posture->found_points, NULL) ||
        !side_view_make(&found, &found, NULL, 0, &posture->found, NULL)) {
        return false;
    }
    const bool changed = chosen >= 0 && chosen != as_found;
    const struct bike_values now = to_draw(&record->setup[changed ? chosen : as_found].bike);
    posture->has_chosen = changed && bike_forward(&now, &posture->chosen_points, NULL) &&
                          side_view_make(&now, &now, NULL, 0, &posture->chosen, NULL);
    find_marks(posture, input, posture->has_chosen ? chosen : -1);
    if (posture->has_chosen) {
        find_changes(posture, input, chosen);
        posture->undrawn = posture_undrawn(&record->setup[as_found].bike,
                                           &record->setup[chosen].bike, &posture->found_points,
                                           &posture->chosen_points, posture->undrawn_words);
    }
    const struct bike_points *points =
        posture->has_chosen ? &posture->chosen_points : &posture->found_points;
    posture->undrawn +=
        posture_undrawn_rider(points->has_saddle, has_two_marks(posture, posture->has_chosen),
                              posture->undrawn_words + posture->undrawn);
    return true;
}

/* ---- the body ---- */

struct posture_body posture_body_of(const struct posture *posture, bool as_chosen, double crank)
{
    const struct bike_points *points = as_chosen ? &posture->chosen_points : &posture->found_points;
    struct posture_body body = {.there = false};
    if (!has_two_marks(posture, as_chosen) || !points->has_saddle) {
        return body;
    }
    struct point head = as_chosen ? posture->mark[0].chosen : posture->mark[0].found;
    struct point chest = as_chosen ? posture->mark[1].chosen : posture->mark[1].found;
    body.there = chest.x_mm > points->saddle.x_mm + 150 && head.x_mm > chest.x_mm;
    body.head = (struct point){head.x_mm, head.y_mm + POSTURE_SKULL_MM};
    body.shoulder = (struct point){chest.x_mm + SHOULDER_ON, chest.y_mm + SHOULDER_UP};
    body.hip = (struct point){points->saddle.x_mm + 10, points->saddle.y_mm + HIP_UP};
    body.has_arm = points->has_pad;
    body.elbow = points->pad;
    body.hand = points->has_extension ? points->extension_tip : points->pad;
    body.foot = (struct point){isnan(crank) ? 0 : crank, 0};
    double x = body.foot.x_mm - body.hip.x_mm, y = body.foot.y_mm - body.hip.y_mm;
    double apart = hypot(x, y);
    body.has_leg = !isnan(crank) && apart < THIGH + SHANK && apart > SHANK - THIGH + 1;
    if (body.has_leg) { /* the knee bends forward */
        double along = (THIGH * THIGH - SHANK * SHANK + apart * apart) / (2 * apart);
        double off = sqrt(fmax(0, THIGH * THIGH - along * along));
        body.knee = (struct point){body.hip.x_mm + (along * x - off * y) / apart,
                                   body.hip.y_mm + (along * y + off * x) / apart};
    }
    return body;
}
