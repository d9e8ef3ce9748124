/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "carry_inside.h"

#include "base/text.h"

#include <math.h>

/* Rider, setups, bike, sensors and settings of an earlier session, as command lines. */

static void put_bike(struct carry_text *line, const struct bike_values *bike)
{
    for (int k = 0; k < BIKE_KEYS; k++) {
        carry_put_number(line, bike_fields[k].key, bike->value[k]);
    }
}

static bool give_rider(const struct carry *carry, carry_sink *sink, void *context,
                       struct problem *problem)
{
    const struct rider_record *rider = &carry->record->rider;
    struct carry_text line = {"", 0};
    if (!carry->record->has_rider) {
        return true;
    }
    carry_put(&line, "rider");
    carry_put_quoted(&line, NULL, rider->code);
    if (rider->name[0] != '\0') {
        carry_put_quoted(&line, NULL, rider->name);
    }
    if (rider->watch_for[0] != '\0') {
        carry_put_quoted(&line, "watch_for", rider->watch_for);
    }
    return carry_give(&line, sink, context, problem);
}

/* The setups come before the bike: with a bike alone, setup 1 would be made of it. */
static bool give_setups(const struct carry *carry, carry_sink *sink, void *context,
                        struct problem *problem)
{
    const struct session_record *record = carry->record;
    for (int s = 0; s < record->setup_count; s++) {
        struct carry_text line = {"", 0};
        text_append(line.text, sizeof line.text, &line.used, "known %d", record->setup[s].number);
        carry_put_quoted(&line, NULL, record->setup[s].intent);
        put_bike(&line, &record->setup[s].bike);
        if (!carry_give(&line, sink, context, problem)) {
            return false;
        }
    }
    struct carry_text line = {"", 0};
    text_append(line.text, sizeof line.text, &line.used, "setup %d",
                record->setup[carry->on_bike].number);
    if (!carry_give(&line, sink, context, problem)) {
        return false;
    }
    if (record->has_bike) {
        struct carry_text bike = {"", 0};
        carry_put(&bike, "bike");
        carry_put_quoted(&bike, NULL, record->bike.name);
        put_bike(&bike, &record->bike.frame);
        return carry_give(&bike, sink, context, problem);
    }
    return true;
}

static bool give_sensors(const struct carry *carry, carry_sink *sink, void *context,
                         struct problem *problem)
{
    const struct session_record *record = carry->record;
    if (record->placing_count == 0) {
        return true;
    }
    const struct placing_record *placing = &record->placing[record->placing_count - 1];
    for (int c = 0; c < placing->channel_count; c++) {
        const struct channel_record *channel = &placing->channel[c];
        struct carry_text line = {"", 0};
        carry_put(&line, "sensor");
        carry_put_quoted(&line, NULL, channel->name);
        if (channel->mounted) {
            carry_put_quoted(&line, "carrier", word_of(&carrier_keys, channel->mount.carrier));
            carry_put_number(&line, "x", channel->mount.x_mm);
            carry_put_number(&line, "y", channel->mount.y_mm);
            carry_put_number(&line, "tilt", channel->mount.tilt_deg);
            carry_put_quoted(&line, "look", look_word(channel->mount.direction));
        }
        if (channel->mark[0] != '\0') {
            carry_put_quoted(&line, "mark", channel->mark);
        }
        carry_put_quoted(&line, "role", word_of(&channel_role_short_words, channel->role));
        carry_put_number(&line, "gain", channel->gain);
        carry_put_number(&line, "offset", channel->offset_mm);
        if (!carry_give(&line, sink, context, problem)) {
            return false;
        }
    }
    return true;
}

/* What the comparison is made with. The setup on the bike now is what is compared against. */
static bool give_settings(const struct carry *carry, carry_sink *sink, void *context,
                          struct problem *problem)
{
    const struct session_record *record = carry->record;
    struct carry_text matters = {"", 0}, baseline = {"", 0}, slope = {"", 0};
    carry_put(&matters, "matters");
    size_t bare = matters.used;
    for (int c = 0; record->placing_count > 0 && c < record->placing[0].channel_count; c++) {
        carry_put_number(&matters, record->placing[0].channel[c].name,
                         record->settings.matters_mm[c]);
    }
    text_append(baseline.text, sizeof baseline.text, &baseline.used, "baseline %d",
                record->setup[carry->on_bike].number);
    if (isfinite(record->settings.trunk_slope_deg)) {
        char text[64];
        text_from_double_shortest(text, sizeof text, record->settings.trunk_slope_deg);
        carry_put(&slope, "slope");
        carry_put(&slope, text);
    }
    return (matters.used == bare || carry_give(&matters, sink, context, problem)) &&
           carry_give(&baseline, sink, context, problem) &&
           (slope.used == 0 || carry_give(&slope, sink, context, problem));
}

static bool give_limits(const struct carry *carry, carry_sink *sink, void *context,
                        struct problem *problem)
{
    const struct bike_limits *limits = &carry->record->limits;
    struct carry_text line = {"", 0};
    carry_put(&line, "limits");
    for (int i = 0; i < BIKE_LIMITS; i++) {
        char typed[80];
        bike_limit_typed(limits, i, typed, sizeof typed);
        if (typed[0] != '\0') {
            text_append(line.text, sizeof line.text, &line.used, " %s=%s", bike_limit_key(i),
                        typed);
        }
    }
    return bike_limits_entered(limits) == 0 || carry_give(&line, sink, context, problem);
}

static bool give_torques(const struct carry *carry, carry_sink *sink, void *context,
                         struct problem *problem)
{
    const struct bike_torques *torques = &carry->record->torques;
    struct carry_text line = {"", 0};
    carry_put(&line, "torque");
    for (int i = 0; i < BIKE_BOLTS; i++) {
        if (!isnan(torques->nm[i])) {
            char typed[32];
            text_from_double_shortest(typed, sizeof typed, torques->nm[i]);
            text_append(line.text, sizeof line.text, &line.used, " %s=%s", bike_bolt_key(i), typed);
        }
    }
    return bike_torques_entered(torques) == 0 || carry_give(&line, sink, context, problem);
}

bool carry_bike(const struct carry *carry, carry_sink *sink, void *context, struct problem *problem)
{
    return give_rider(carry, sink, context, problem) &&
           give_setups(carry, sink, context, problem) &&
           give_sensors(carry, sink, context, problem) &&
           give_settings(carry, sink, context, problem) &&
           give_limits(carry, sink, context, problem) &&
           give_torques(carry, sink, context, problem);
}
