/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "virtual_bike.h"

#include "base/angle.h"
#include "base/text.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

/* The bike there is when nobody has told of one, and whatever is not told: a bike with pads,
 * invented. */
static void default_bike(struct bike_values *values)
{
    bike_values_clear(values);
    values->value[BIKE_STACK] = 545;
    values->value[BIKE_REACH] = 410;
    values->value[BIKE_HEAD_ANGLE] = 73;
    values->value[BIKE_HEADSET_CAP] = 0;
    values->value[BIKE_SPACERS] = 20;
    values->value[BIKE_STEM_LENGTH] = 100;
    values->value[BIKE_STEM_ANGLE] = -6;
    values->value[BIKE_STEM_CLAMP_HEIGHT] = 40;
    values->value[BIKE_BAR_ROLL] = 0;
    values->value[BIKE_PAD_RISE] = 60;
    values->value[BIKE_PAD_FORE_AFT] = -20;
    values->value[BIKE_EXTENSION_LENGTH] = 320;
    values->value[BIKE_EXTENSION_ANGLE] = 0;
    values->value[BIKE_EXTENSION_RISE] = -30;
}

/* Where a sensor on another carrier sits when only the carrier is told. */
static void default_mount(enum carrier carrier, struct sensor_mount *mount)
{
    static const double x_mm[CARRIERS] = {
        [CARRIER_STAND] = 560,      [CARRIER_FRAME] = 420,      [CARRIER_BASE_BAR] = 120,
        [CARRIER_PAD_BRACKET] = 60, [CARRIER_EXTENSION] = -150,
    };
    static const double y_mm[CARRIERS] = {
        [CARRIER_STAND] = 500,       [CARRIER_FRAME] = 540,     [CARRIER_BASE_BAR] = 40,
        [CARRIER_PAD_BRACKET] = -30, [CARRIER_EXTENSION] = -20,
    };
    *mount = (struct sensor_mount){
        .carrier = carrier, .x_mm = x_mm[carrier], .y_mm = y_mm[carrier], .direction = 1};
}

/* Works out where everything is with these values; false leaves the bike as it was. */
static bool place(struct virtual_bike *bike, const struct bike_values *values,
                  const struct virtual_mount mount[CHANNELS_MAX], struct problem *problem)
{
    struct bike_points points;
    if (!bike_forward(values, &points, problem)) {
        return false;
    }
    struct virtual_mount placed[CHANNELS_MAX];
    for (int i = 0; i < bike->channel_count; i++) {
        placed[i] = mount[i];
        if (!sensor_locate(values, &mount[i].first, &mount[i].mount, &placed[i].position,
                           problem)) {
            return false;
        }
        placed[i].along =
            mount[i].mount.direction * cos(placed[i].position.tilt_deg * RADIANS_PER_DEGREE);
    }
    for (int i = 0; i < bike->channel_count; i++) {
        bike->mount[i] = placed[i];
    }
    bike->values = *values;
    bike->support_mm = points.has_pad ? points.pad.y_mm : points.clamp.y_mm;
    return true;
}

void virtual_bike_start(struct virtual_bike *bike, const struct virtual_rig_settings *settings)
{
    *bike = (struct virtual_bike){.channel_count = settings->channel_count};
    random_seed(&bike->builds, settings->seed * 4 + 3);
    struct bike_values values;
    default_bike(&values);
    struct virtual_mount mount[CHANNELS_MAX] = {{.error_mm = 0}};
    for (int i = 0; i < settings->channel_count; i++) {
        default_mount(CARRIER_BASE_BAR, &mount[i].mount);
        mount[i].first = values;
        mount[i].mount.x_mm -= 60 * (i > 0);
        if (text_equal(settings->channel_name[i], "chest")) {
            mount[i].mount.y_mm = 38;
            mount[i].mount.tilt_deg = 8;
        }
        if (text_starts_with(settings->channel_name[i], "ref")) {
            mount[i].mount.direction = -1;
            mount[i].sees_reference = true;
            mount[i].reference_mm = 300;
        }
    }
    struct problem problem;
    if (!place(bike, &values, mount, &problem)) {
        bike->support_mm = 600; /* cannot be: the default bike has all that is needed */
    }
}

bool virtual_bike_tell(struct virtual_bike *bike, const struct words *words,
                       struct problem *problem)
{
    struct bike_values values;
    default_bike(&values);
    for (int i = 1; i < words->count; i++) {
        const struct word *word = &words->word[i];
        int key = word->key == NULL ? -1 : bike_key_find(word->key);
        if (key < 0) {
            continue; /* the bike's name, a note */
        }
        double value = 0;
        if (!words_number(word->value, bike_fields[key].unit, &value, problem) ||
            !bike_value_check(key, value, problem)) {
            return problem_prefix(problem, "%s", word->key);
        }
        values.value[key] = value;
    }
    struct virtual_mount mount[CHANNELS_MAX];
    for (int i = 0; i < bike->channel_count; i++) {
        mount[i] = bike->mount[i];
        if (!bike->told) {
            mount[i].first = values;
        }
    }
    if (!place(bike, &values, mount, problem)) {
        return false;
    }
    bike->told = true;
    return true;
}

/* One key=value of a mount line. */
static bool mount_value(struct sensor_mount *mount, bool *sees_reference, const struct word *word,
                        struct problem *problem)
{
    static const struct {
        const char *key, *unit;
        size_t offset;
        double least, most;
    } numbers[] = {
        {"x", "mm", offsetof(struct sensor_mount, x_mm), -2000, 2000},
        {"y", "mm", offsetof(struct sensor_mount, y_mm), -2000, 3000},
        {"tilt", "deg", offsetof(struct sensor_mount, tilt_deg), -60, 60},
    };
    for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; i++) {
        if (!text_equal(word->key, numbers[i].key)) {
            continue;
        }
        double value = 0;
        if (!words_number(word->value, numbers[i].unit, &value, problem)) {
            return false;
        }
        if (value < numbers[i].least || value > numbers[i].most) {
            return problem_usage(problem, "%s=%s: wanted is %g to %g %s", word->key, word->value,
                                 numbers[i].least, numbers[i].most, numbers[i].unit);
        }
        *(double *)(void *)((char *)mount + numbers[i].offset) = value;
    }
    if (text_equal(word->key, "look")) {
        mount->direction = word_find(&look_words, word->value, 0);
        if (mount->direction == 0) {
            return problem_usage(problem, "look=%s: a sensor looks up or down", word->value);
        }
    }
    if (text_equal(word->key, "role")) {
        *sees_reference = text_equal(word->value, "ref");
    }
    return true;
}

bool virtual_bike_mount(struct virtual_bike *bike, const struct virtual_rig_settings *settings,
                        const double body_mm[CHANNELS_MAX], const struct words *words,
                        struct problem *problem)
{
    const char *name = words->count > 1 && words->word[1].key == NULL ? words->word[1].value : "";
    int channel = virtual_rig_channel(settings, name);
    if (channel < 0) {
        return problem_usage(problem, "mount: the virtual rig has no channel '%s'", name);
    }
    struct virtual_mount mount[CHANNELS_MAX];
    memcpy(mount, bike->mount, sizeof mount);
    const struct sensor_mount before = mount[channel].mount;
    bool saw_reference = mount[channel].sees_reference;
    const char *key = words_value(words, "carrier");
    int carrier = key == NULL ? (int)before.carrier : word_find(&carrier_keys, key, -1);
    if (carrier < 0) {
        return problem_usage(problem, "mount %s: there is no carrier '%s'", name, key);
    }
    const char *look = words_value(words, "look");
    if ((enum carrier)carrier != before.carrier) {
        default_mount((enum carrier)carrier, &mount[channel].mount);
        if (!carrier_moves((enum carrier)carrier)) {
            bool down = word_find(&look_words, look, 0) < 0;
            mount[channel].mount.y_mm = floor(body_mm[channel]) + (down ? 400 : -300);
        }
    }
    for (int i = 2; i < words->count; i++) {
        if (words->word[i].key != NULL &&
            !mount_value(&mount[channel].mount, &mount[channel].sees_reference, &words->word[i],
                         problem)) {
            return problem_prefix(problem, "mount %s", name);
        }
    }
    const struct sensor_mount *after = &mount[channel].mount;
    bool moved = after->carrier != before.carrier || after->direction != before.direction ||
                 fabs(after->x_mm - before.x_mm) + fabs(after->y_mm - before.y_mm) +
                         fabs(after->tilt_deg - before.tilt_deg) >
                     0;
    if (moved) { /* fixed anew: this is its first build */
        mount[channel].first = bike->values;
        mount[channel].error_mm = 0;
    }
    if (!place(bike, &bike->values, mount, problem)) {
        return problem_prefix(problem, "mount %s", name);
    }
    if (moved || !saw_reference) {
        bike->mount[channel].reference_mm =
            floor(bike->mount[channel].position.y_mm) + 250 * bike->mount[channel].mount.direction;
    }
    return true;
}

void virtual_bike_build(struct virtual_bike *bike, double build_sd_mm)
{
    /* What was put together sits the same for all sensors on it. Every carrier draws each time, so
     * that moving one sensor does not change the others' errors. */
    double error_mm[CARRIERS];
    for (int carrier = 0; carrier < CARRIERS; carrier++) {
        error_mm[carrier] = 0.4 * build_sd_mm * random_normal(&bike->builds);
    }
    for (int i = 0; i < bike->channel_count; i++) {
        enum carrier carrier = bike->mount[i].mount.carrier;
        bike->mount[i].error_mm = carrier_moves(carrier) ? error_mm[carrier] : 0;
    }
}

double virtual_bike_sensor_mm(const struct virtual_bike *bike, int channel)
{
    return bike->mount[channel].position.y_mm + bike->mount[channel].error_mm;
}

double virtual_bike_range_mm(const struct virtual_bike *bike, int channel, double height_mm)
{
    const struct virtual_mount *mount = &bike->mount[channel];
    double seen_mm = mount->sees_reference ? mount->reference_mm : height_mm;
    return (seen_mm - virtual_bike_sensor_mm(bike, channel)) / mount->along;
}
