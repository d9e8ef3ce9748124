/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/nearest.h"
#include "base/text.h"
#include "base/words.h"
#include "rig/virtual_rig.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

void virtual_rig_defaults(struct virtual_rig_settings *settings, uint64_t seed)
{
    *settings = (struct virtual_rig_settings){
        .seed = seed,
        .rate_hz = 50,
        .channel_count = 2,
        .channel_name = {"head", "chest", "shoulder", "hip", "hand", "elbow", "back", "neck"},
        .follow_share = {0.6, 0.5, 0.5, 0.1, 1.0, 1.0, 0.4, 0.6},
        .hold_sd_mm = 4,
        .build_sd_mm = 0.7,
        .breathing_mm = 3.5,
        .breathing_hz = 0.45,
        .bob_mm = 2,
        .cadence_hz = 1.45,
        .wander_mm = 2.5,
        .wander_s = 12,
        .creep_mm_per_min = 0.8,
        .settle_mm = 6,
        .glances_per_min = 0.5,
        .noise_mm_at_300 = 1.8,
        .quantum_mm = 1,
        .missing_share = 0.004,
        .doubtful_share = 0.004,
        .outlier_share = 0.001,
        .lost_share = 0.001,
        .plate_mm = NAN,
        .scale = 1,
        .second_mm = 60,
        .learns_sessions = 4,
        .tires_at_min = 20,
        .props_for_s = 60,
        .power_w = 200,
        .heart_per_min = 140,
    };
}

int virtual_rig_channel(const struct virtual_rig_settings *settings, const char *name)
{
    for (int i = 0; i < settings->channel_count; i++) {
        if (text_equal(settings->channel_name[i], name)) {
            return i;
        }
    }
    return -1;
}

struct amount {
    const char *name;
    size_t offset;
    double minimum, maximum;
};
#define AMOUNT(name, field, minimum, maximum)                                                      \
    {                                                                                              \
        name, offsetof(struct virtual_rig_settings, field), minimum, maximum                       \
    }

static const struct amount amounts[] = {
    AMOUNT("rate", rate_hz, 0.5, 5000),
    AMOUNT("announce", announced_rate_hz, 0, 5000),
    AMOUNT("hold", hold_sd_mm, 0, 100),
    AMOUNT("build", build_sd_mm, 0, 100),
    AMOUNT("breathing", breathing_mm, 0, 100),
    AMOUNT("breathing_hz", breathing_hz, 0.01, 5),
    AMOUNT("bob", bob_mm, 0, 100),
    AMOUNT("cadence_hz", cadence_hz, 0.01, 5),
    AMOUNT("wander", wander_mm, 0, 100),
    AMOUNT("wander_s", wander_s, 0.5, 600),
    AMOUNT("creep", creep_mm_per_min, -100, 100),
    AMOUNT("settle", settle_mm, -200, 200),
    AMOUNT("glances", glances_per_min, 0, 30),
    AMOUNT("noise", noise_mm_at_300, 0, 100),
    AMOUNT("quantum", quantum_mm, 0.1, 50),
    AMOUNT("missing", missing_share, 0, 1),
    AMOUNT("doubtful", doubtful_share, 0, 1),
    AMOUNT("outliers", outlier_share, 0, 1),
    AMOUNT("lost", lost_share, 0, 0.9),
    AMOUNT("warm_up", warm_up_mm, -50, 50),
    AMOUNT("fatigue", fatigue_mm_per_hold, -20, 20),
    AMOUNT("plate", plate_mm, -500, 3000),
    AMOUNT("scale", scale, 0.5, 2),
    AMOUNT("crosstalk", crosstalk_share, 0, 1),
    AMOUNT("hands_seen", hands_seen_share, 0, 1),
    AMOUNT("second", second_mm, -500, 500),
    AMOUNT("second_share", second_share, 0, 1),
    AMOUNT("unlearnt", unlearnt_mm, 0, 200),
    AMOUNT("learns", learns_sessions, 0.1, 1000),
    AMOUNT("practised", practised_sessions, 0, 1000),
    AMOUNT("tires", tires_mm, 0, 200),
    AMOUNT("tires_at", tires_at_min, 0, 600),
    AMOUNT("sits_up", sits_up_per_h, 0, 60),
    AMOUNT("bump", bump_mm, -100, 100),
    AMOUNT("bump_at", bump_at_min, 0, 600),
    AMOUNT("props", props_mm, 0, 100),
    AMOUNT("props_at", props_at_min, 0, 600),
    AMOUNT("props_for", props_for_s, 0, 36000),
    AMOUNT("power", power_w, 0, 2000),
    AMOUNT("heart", heart_per_min, 0, 250),
};
enum { AMOUNTS = sizeof amounts / sizeof amounts[0] };

/* 'head/chest/ref' or a number of channels with their usual names. */
static bool read_channels(const char *value, struct virtual_rig_settings *settings,
                          struct problem *problem)
{
    int64_t count = 0;
    if (text_to_int64(value, &count)) {
        if (count < 1 || count > CHANNELS_MAX) {
            return problem_usage(problem, "channels=%s: a rig has 1 to %d channels", value,
                                 CHANNELS_MAX);
        }
        settings->channel_count = (int)count;
        return true;
    }
    settings->channel_count = 0;
    for (const char *from = value;; from++) {
        size_t length = strcspn(from, "/");
        if (length == 0 || length >= CHANNEL_NAME_SIZE || settings->channel_count == CHANNELS_MAX) {
            return problem_usage(
                problem, "channels=%s: wanted are up to %d names apart by '/', or their number",
                value, CHANNELS_MAX);
        }
        char *name = settings->channel_name[settings->channel_count++];
        memcpy(name, from, length);
        name[length] = '\0';
        for (char *at = name; *at != '\0'; at++) {
            bool fits = (*at >= 'a' && *at <= 'z') || (*at >= 'A' && *at <= 'Z') || *at == '_' ||
                        (at > name && ((*at >= '0' && *at <= '9') || *at == '-'));
            if (!fits) {
                return problem_usage(
                    problem, "channels=%s: a channel's name is letters, digits, '_', '-'", value);
            }
        }
        from += length;
        if (*from == '\0') {
            return true;
        }
    }
}

static bool read_follow(const char *value, struct virtual_rig_settings *settings,
                        struct problem *problem)
{
    int channel = 0;
    for (const char *from = value;; from++) {
        size_t length = strcspn(from, "/");
        char number[32];
        double share = 0;
        if (length >= sizeof number || channel == CHANNELS_MAX) {
            break;
        }
        memcpy(number, from, length);
        number[length] = '\0';
        if (!text_to_double(number, &share) || share < -2 || share > 2) {
            break;
        }
        settings->follow_share[channel++] = share;
        from += length;
        if (*from == '\0') {
            for (int rest = channel; rest < CHANNELS_MAX && channel == 1; rest++) {
                settings->follow_share[rest] = share;
            }
            return true;
        }
    }
    return problem_usage(
        problem, "follow=%s: wanted is a share from -2 to 2 for each channel, apart by '/'", value);
}

static bool read_one(const char *key, const char *value, struct virtual_rig_settings *settings,
                     struct problem *problem)
{
    if (text_equal(key, "speed") || text_equal(key, "seconds")) {
        return true; /* the link's own */
    }
    if (text_equal(key, "seed")) {
        int64_t seed = 0;
        if (!text_to_int64(value, &seed) || seed < 0) {
            return problem_usage(problem, "seed=%s: a seed is a whole number from 0", value);
        }
        settings->seed = (uint64_t)seed;
        return true;
    }
    if (text_equal(key, "channels")) {
        return read_channels(value, settings, problem);
    }
    if (text_equal(key, "follow")) {
        return read_follow(value, settings, problem);
    }
    for (int i = 0; i < AMOUNTS; i++) {
        if (!text_equal(key, amounts[i].name)) {
            continue;
        }
        double amount = 0;
        if (!text_to_double(value, &amount) || amount < amounts[i].minimum ||
            amount > amounts[i].maximum) {
            return problem_usage(problem, "%s=%s: wanted is a number from %g to %g", key, value,
                                 amounts[i].minimum, amounts[i].maximum);
        }
        memcpy((char *)settings + amounts[i].offset, &amount, sizeof amount);
        return true;
    }
    static const char *const others[] = {"seed", "channels", "follow", "speed", "seconds"};
    char known[800] = "", meant[NEAREST_TEXT_SIZE];
    size_t used = 0;
    struct nearest nearest = nearest_to(key);
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++) {
        nearest_try(&nearest, others[i]);
    }
    for (int i = 0; i < AMOUNTS; i++) {
        nearest_try(&nearest, amounts[i].name);
        text_append(known, sizeof known, &used, ", %s", amounts[i].name);
    }
    if (nearest.word != NULL) {
        return problem_usage(problem, "'%s' is no setting of a virtual rig%s", key,
                             nearest_text(&nearest, "", meant, sizeof meant));
    }
    return problem_usage(problem, "'%s' is no setting of a virtual rig; there are %s%s", key,
                         "seed, channels, follow, speed, seconds", known);
}

static bool read_all(const char *from, struct virtual_rig_settings *settings,
                     struct problem *problem)
{
    while (*from != '\0') {
        size_t length = strcspn(from, "&");
        char key[256];
        if (length >= sizeof key) {
            return problem_usage(problem, "a setting of the virtual rig is too long");
        }
        memcpy(key, from, length);
        key[length] = '\0';
        char *value = strchr(key, '=');
        if (value != NULL) {
            *value++ = '\0';
        }
        if (length > 0 && !read_one(key, value == NULL ? "" : value, settings, problem)) {
            return false;
        }
        from += length + (from[length] == '&' ? 1 : 0);
    }
    return true;
}

/* The riders and rigs by name: what is not as in the defaults. */
static const struct {
    const char *name, *parameters;
} rigs[] = {
    {"", ""},
    {"winter", ""},
    {"steady",
     "hold=2&wander=1.2&creep=0.3&glances=0&missing=0.001&doubtful=0.001&outliers=0&lost=0"},
    {"restless", "hold=6&breathing=5&wander=4.5&creep=2&glances=3"},
    {"learner", "hold=3&wander=1.5&glances=0.2&unlearnt=25"},
    {"rough", "noise=3.5&missing=0.08&doubtful=0.03&outliers=0.015&lost=0.08&warm_up=2"},
};

bool virtual_rig_settings_read(const char *name, const char *parameters,
                               struct virtual_rig_settings *settings, struct problem *problem)
{
    virtual_rig_defaults(settings, 1);
    for (size_t i = 0; i < sizeof rigs / sizeof rigs[0]; i++) {
        if (text_equal(name, rigs[i].name)) {
            read_all(rigs[i].parameters, settings, problem);
            return read_all(parameters == NULL ? "" : parameters, settings, problem);
        }
    }
    return problem_usage(
        problem, "there is no virtual rig '%s'; there are winter, steady, restless, learner, rough",
        name);
}
