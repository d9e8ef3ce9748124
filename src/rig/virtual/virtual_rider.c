/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "virtual_rider.h"

#include "base/angle.h"
#include "base/text.h"

#include <math.h>

#define WANDER_STEP_S 0.1
#define SETTLE_S 2.0
#define CREEP_FADES_MIN 5.0
#define GUIDED_SD_MM 1.5
#define GUIDED_WANDER 0.6

/* How a part of the body moves, by its name. Shares are of the amounts in the settings. */
static const struct body_part {
    const char *name;
    double offset_mm, breathing, bob, wander, creep, glance;
} body_parts[] = {
    {"head", 222, 0.25, 1.0, 1.0, 1.0, 1.0},
    {"chest", 109, -1.0, 0.7, 0.7, 0.4, 0.15}, /* breathing in brings the chest down to the bars */
    {"hip", 230, 0.1, 1.5, 0.5, 0.2, 0.0},
    {"hand", 30, 0.0, 0.3, 0.3, 0.0, 0.0},
    {"elbow", 15, 0.0, 0.3, 0.2, 0.0, 0.0},
    {NULL, 140, 0.5, 0.7, 0.7, 0.4, 0.1},
};

static const struct body_part *part_of(const char *name)
{
    const struct body_part *part = body_parts;
    while (part->name != NULL && !text_equal(part->name, name)) {
        part++;
    }
    return part;
}

/* The wander's spectrum falls about as f^-1.2 up to 0.5 Hz and as f^-4 above (as sway on a force
 * plate does): first-order processes of time constants wander_s, a fifth and a 25th of it with
 * falling variances, then one low pass at 0.5 Hz. The variance that the low pass leaves is worked
 * out for the discrete steps, so that wander_mm is what comes out. */
static void wander_design(struct virtual_rider *rider)
{
    static const double variance_share[RIDER_WANDERS] = {0.46, 0.33, 0.21};
    double pass = exp(-WANDER_STEP_S * TWO_PI * 0.5);
    double left = 0;
    double time_s = rider->settings->wander_s;
    for (int i = 0; i < RIDER_WANDERS; i++) {
        double keep = exp(-WANDER_STEP_S / time_s);
        rider->wander_keep[i] = keep;
        left += variance_share[i] * (1 - pass) / (1 + pass) * (1 + keep * pass) / (1 - keep * pass);
        time_s /= 5;
    }
    for (int i = 0; i < RIDER_WANDERS; i++) {
        double keep = rider->wander_keep[i];
        double sd_mm = rider->settings->wander_mm * sqrt(variance_share[i] / left);
        rider->wander_drive_mm[i] = sd_mm * sqrt(1 - keep * keep);
    }
    rider->wander_pass = pass;
}

static void wander_advance(struct virtual_rider *rider, struct rider_wander *wander)
{
    double sum_mm = 0;
    for (int i = 0; i < RIDER_WANDERS; i++) {
        wander->process_mm[i] = wander->process_mm[i] * rider->wander_keep[i] +
                                rider->wander_drive_mm[i] * random_normal(&rider->movement);
        sum_mm += wander->process_mm[i];
    }
    wander->last_mm = wander->next_mm;
    wander->next_mm = rider->wander_pass * wander->next_mm + (1 - rider->wander_pass) * sum_mm;
}

static void wander_begin(struct virtual_rider *rider, struct rider_wander *wander)
{
    for (int i = 0; i < RIDER_WANDERS; i++) {
        double keep = rider->wander_keep[i];
        wander->process_mm[i] =
            rider->wander_drive_mm[i] / sqrt(1 - keep * keep) * random_normal(&rider->movement);
    }
    for (int i = 0; i < 30; i++) { /* lets the low pass fill */
        wander_advance(rider, wander);
    }
}

/* A new breath: its length varies by 15 %, its depth by 15 % (10 to 25 % measured). */
static void breathe(struct virtual_rider *rider)
{
    double length = 1 + 0.15 * random_normal(&rider->movement);
    double size = 1 + 0.15 * random_normal(&rider->movement);
    rider->breath_per_s = rider->settings->breathing_hz / fmin(fmax(length, 0.5), 1.6);
    rider->breath_size = fmin(fmax(size, 0.4), 1.8);
}

static void turn_crank(struct virtual_rider *rider)
{
    rider->crank_per_s = rider->settings->cadence_hz * (1 + 0.01 * random_normal(&rider->movement));
}

void virtual_rider_start(struct virtual_rider *rider, const struct virtual_rig_settings *settings,
                         double support_mm)
{
    *rider = (struct virtual_rider){.settings = settings, .first_support_mm = support_mm};
    random_seed(&rider->postures, settings->seed * 4 + 1);
    random_seed(&rider->movement, settings->seed * 4 + 2);
    virtual_practice_start(&rider->practice, settings);
    wander_design(rider);
    for (int i = 0; i < settings->channel_count; i++) {
        struct rider_channel *channel = &rider->channel[i];
        const struct body_part *part = part_of(settings->channel_name[i]);
        channel->offset_mm = part->offset_mm;
        channel->breathing_share = part->breathing;
        channel->bob_share = part->bob;
        channel->bob_phase = 0.7 * i;
        channel->wander_share = part->wander;
        channel->creep_share = part->creep;
        channel->glance_share = part->glance;
        wander_begin(rider, &channel->wander);
    }
    rider->breath_phase = random_uniform(&rider->movement);
    rider->crank_phase = random_uniform(&rider->movement);
    breathe(rider);
    turn_crank(rider);
    virtual_rider_support(rider, support_mm);
    double free_mm[CHANNELS_MAX];
    for (int i = 0; i < CHANNELS_MAX; i++) {
        free_mm[i] = NAN;
    }
    virtual_rider_sit(rider, free_mm);
    rider->holds = 0;
}

void virtual_rider_on_first_bike(struct virtual_rider *rider, double support_mm)
{
    rider->first_support_mm = support_mm;
    virtual_rider_support(rider, support_mm);
}

void virtual_rider_support(struct virtual_rider *rider, double support_mm)
{
    double moved_mm = support_mm - rider->first_support_mm;
    for (int i = 0; i < rider->settings->channel_count; i++) {
        struct rider_channel *channel = &rider->channel[i];
        channel->setup_mm = rider->first_support_mm + channel->offset_mm +
                            rider->settings->follow_share[i] * moved_mm;
    }
}

void virtual_rider_sit(struct virtual_rider *rider, const double told_mm[CHANNELS_MAX])
{
    rider->holds++;
    rider->since_sit_s = 0;
    rider->glance_left_s = 0;
    rider->practice.up_left_s = 0;
    for (int i = 0; i < rider->settings->channel_count; i++) {
        struct rider_channel *channel = &rider->channel[i];
        /* Both draws are always made: a hold's error is the same number whether it is guided or
         * not. */
        double free_mm = rider->settings->hold_sd_mm * random_normal(&rider->postures);
        double creep = 1 + 0.5 * random_normal(&rider->postures);
        channel->told_mm = told_mm[i];
        channel->aimed_mm = NAN;
        channel->hold_mm = isnan(told_mm[i])
                               ? free_mm
                               : GUIDED_SD_MM * free_mm / fmax(rider->settings->hold_sd_mm, 1e-9);
        channel->creep_mm_per_min =
            rider->settings->creep_mm_per_min * channel->creep_share * creep;
    }
}

void virtual_rider_recall(struct virtual_rider *rider, const double aimed_mm[CHANNELS_MAX])
{
    double free_mm[CHANNELS_MAX], off_mm = virtual_practice_off_mm(&rider->practice);
    for (int i = 0; i < CHANNELS_MAX; i++) {
        free_mm[i] = NAN;
    }
    virtual_rider_sit(rider, free_mm);
    for (int i = 0; i < rider->settings->channel_count; i++) {
        rider->channel[i].aimed_mm = aimed_mm[i] + rider->channel[i].wander_share * off_mm;
    }
}

void virtual_rider_build(struct virtual_rider *rider)
{
    /* 0.4 of the build's error is the sensor's (virtual_bike_build); the rest is posture. */
    double sd_mm = rider->settings->build_sd_mm * sqrt(1 - 0.4 * 0.4);
    for (int i = 0; i < rider->settings->channel_count; i++) {
        rider->channel[i].build_mm = sd_mm * random_normal(&rider->postures);
    }
}

double virtual_rider_posture_mm(const struct virtual_rider *rider, int channel)
{
    const struct rider_channel *c = &rider->channel[channel];
    if (!isnan(c->told_mm)) {
        return c->told_mm + c->hold_mm;
    }
    if (!isnan(c->aimed_mm)) {
        return c->aimed_mm + c->hold_mm;
    }
    int tired = rider->holds > 1 ? rider->holds - 1 : 0;
    return c->setup_mm + c->build_mm + c->hold_mm + tired * rider->settings->fatigue_mm_per_hold;
}

/* A look ahead: the head comes up by 25 to 60 mm for 0.5 to 2 s, as one smooth bump. */
static double glance_mm(struct virtual_rider *rider, double step_s)
{
    if (rider->glance_left_s <= 0) {
        double wanted = rider->settings->glances_per_min / 60 * step_s;
        if (wanted <= 0 || random_uniform(&rider->movement) >= wanted) {
            return 0;
        }
        rider->glance_length_s = 0.5 + 1.5 * random_uniform(&rider->movement);
        rider->glance_left_s = rider->glance_length_s;
        rider->glance_mm = 25 + 35 * random_uniform(&rider->movement);
    }
    rider->glance_left_s -= step_s;
    double at = fmax(rider->glance_left_s, 0) / rider->glance_length_s;
    return rider->glance_mm * 0.5 * (1 - cos(TWO_PI * at));
}

void virtual_rider_step(struct virtual_rider *rider, double step_s)
{
    const struct virtual_rig_settings *settings = rider->settings;
    rider->since_sit_s += step_s;
    rider->since_wander_s += step_s;
    while (rider->since_wander_s >= WANDER_STEP_S) {
        rider->since_wander_s -= WANDER_STEP_S;
        for (int i = 0; i < settings->channel_count; i++) {
            wander_advance(rider, &rider->channel[i].wander);
        }
        double minutes = rider->since_sit_s / 60;
        rider->creep_minutes = CREEP_FADES_MIN * (1 - exp(-minutes / CREEP_FADES_MIN));
    }
    double between = rider->since_wander_s / WANDER_STEP_S;

    rider->breath_phase += rider->breath_per_s * step_s;
    if (rider->breath_phase >= 1) {
        rider->breath_phase -= floor(rider->breath_phase);
        breathe(rider);
    }
    /* sin + 0.2 sin of the double rises for 0.40 of the cycle and spans 2.137. */
    double angle = TWO_PI * rider->breath_phase;
    double breath_mm =
        settings->breathing_mm / 2.137 * rider->breath_size * sin(angle) * (1 + 0.4 * cos(angle));

    rider->crank_phase += rider->crank_per_s * step_s;
    if (rider->crank_phase >= 1) {
        rider->crank_phase -= floor(rider->crank_phase);
        turn_crank(rider);
    }
    double crank_sin = sin(TWO_PI * rider->crank_phase);
    double crank_cos = cos(TWO_PI * rider->crank_phase);
    double glance = glance_mm(rider, step_s);
    virtual_practice_step(&rider->practice, step_s);
    double practised_mm = virtual_practice_body_mm(&rider->practice, rider->since_sit_s);
    double settle = rider->since_sit_s < 12 * SETTLE_S
                        ? settings->settle_mm * exp(-rider->since_sit_s / SETTLE_S)
                        : 0;

    for (int i = 0; i < settings->channel_count; i++) {
        struct rider_channel *channel = &rider->channel[i];
        bool guided = !isnan(channel->told_mm);
        double wander_mm =
            channel->wander.last_mm + between * (channel->wander.next_mm - channel->wander.last_mm);
        /* Twice the cadence is the larger part (2 crank_sin crank_cos is its sine); once a third.
         */
        double bob_mm =
            settings->bob_mm / 2 * channel->bob_share *
            (2 * crank_sin * crank_cos + 0.35 * (crank_cos + channel->bob_phase * crank_sin));
        channel->body_mm = virtual_rider_posture_mm(rider, i) + settle +
                           channel->breathing_share * breath_mm + bob_mm +
                           channel->wander_share * (guided ? GUIDED_WANDER : 1) * wander_mm +
                           (guided ? 0.3 : 1) * channel->creep_mm_per_min * rider->creep_minutes +
                           channel->glance_share * glance + channel->wander_share * practised_mm;
    }
}
