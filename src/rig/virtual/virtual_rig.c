/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/virtual_rig.h"

#include "base/random.h"
#include "base/text.h"
#include "base/words.h"
#include "rig/auxiliary.h"
#include "virtual_bike.h"
#include "virtual_rider.h"
#include "virtual_scene.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define RIG_STARTS_US 2000000 /* a board has run for a while when it is first heard */
#define HEADING_EVERY_S 5
#define RANGE_MOST_MM 4000
#define MISSING_BURST 3.0 /* mean length, samples */
#define LOST_BURST 5.0    /* mean length, lines */
#define SECOND_BURST 8.0  /* mean length, samples */
#define WARM_UP_S 60.0

struct virtual_rig {
    struct virtual_rig_settings settings;
    struct virtual_rider rider;
    struct virtual_bike bike;
    struct virtual_scene scene;
    int auxiliary[CHANNELS_MAX]; /* which a channel carries; -1: ranges */
    struct random_source sensor; /* noise and faults */
    uint64_t sequence;           /* of the next line */
    uint64_t lines_to_heading, heading_every;
    double step_s;
    double plate_mm; /* NAN = none held */
    bool losing;
    bool losing_channel[CHANNELS_MAX];
    bool on_second[CHANNELS_MAX]; /* the beam sees the second surface */
    char heading[320];
    size_t heading_length;
};

static void write_heading(struct virtual_rig *rig)
{
    const struct virtual_rig_settings *settings = &rig->settings;
    double rate_hz =
        settings->announced_rate_hz > 0 ? settings->announced_rate_hz : settings->rate_hz;
    char rate[40];
    text_from_double_shortest(rate, sizeof rate, rate_hz);
    size_t used = 0;
    text_append(rig->heading, sizeof rig->heading, &used,
                "# holdline-rig 1 id=virtual rate=%s unit=mm channels=", rate);
    for (int i = 0; i < settings->channel_count; i++) {
        text_append(rig->heading, sizeof rig->heading, &used, "%s%s", i == 0 ? "" : ",",
                    settings->channel_name[i]);
    }
    text_append(rig->heading, sizeof rig->heading, &used, "\n");
    rig->heading_length = used;
}

struct virtual_rig *virtual_rig_create(const struct virtual_rig_settings *settings)
{
    struct virtual_rig *rig = calloc(1, sizeof *rig);
    if (rig == NULL) {
        return NULL;
    }
    rig->settings = *settings;
    rig->step_s = 1 / settings->rate_hz;
    rig->plate_mm = settings->plate_mm;
    rig->sequence = 1;
    rig->heading_every = (uint64_t)fmax(1, HEADING_EVERY_S * settings->rate_hz);
    random_seed(&rig->sensor, settings->seed * 4);
    for (int i = 0; i < CHANNELS_MAX; i++) {
        rig->auxiliary[i] = auxiliary_of(rig->settings.channel_name[i]);
    }
    virtual_bike_start(&rig->bike, &rig->settings);
    virtual_rider_start(&rig->rider, &rig->settings, rig->bike.support_mm);
    write_heading(rig);
    return rig;
}

void virtual_rig_destroy(struct virtual_rig *rig)
{
    free(rig);
}

static bool tell_bike(struct virtual_rig *rig, const struct words *words, struct problem *problem)
{
    bool first = !rig->bike.told;
    if (!virtual_bike_tell(&rig->bike, words, problem)) {
        return false;
    }
    if (first) {
        virtual_rider_on_first_bike(&rig->rider, rig->bike.support_mm);
    } else {
        virtual_rider_support(&rig->rider, rig->bike.support_mm);
    }
    return true;
}

static bool tell_mount(struct virtual_rig *rig, const struct words *words, struct problem *problem)
{
    double setup_mm[CHANNELS_MAX];
    for (int i = 0; i < CHANNELS_MAX; i++) {
        setup_mm[i] = rig->rider.channel[i].setup_mm;
    }
    return virtual_bike_mount(&rig->bike, &rig->settings, setup_mm, words, problem);
}

/* 'sit free', 'sit guided head=884 chest=771', 'sit recalled head=884 chest=771'. */
static bool tell_sit(struct virtual_rig *rig, const struct words *words, struct problem *problem)
{
    double told_mm[CHANNELS_MAX];
    bool guided = words->count > 1 && text_equal(words->word[1].value, "guided");
    bool recalled = words->count > 1 && text_equal(words->word[1].value, "recalled") &&
                    rig->settings.unlearnt_mm > 0; /* others hold what comes */
    for (int channel = 0; channel < CHANNELS_MAX; channel++) {
        told_mm[channel] = NAN;
        const char *value = channel < rig->settings.channel_count
                                ? words_value(words, rig->settings.channel_name[channel])
                                : NULL;
        if (!(guided || recalled) || value == NULL) {
            continue;
        }
        if (!words_number(value, "mm", &told_mm[channel], problem)) {
            return false;
        }
        if (told_mm[channel] < -500 || told_mm[channel] > 3000) {
            return problem_usage(problem, "sit: no body is %s mm over the bottom bracket", value);
        }
    }
    if (recalled) {
        virtual_rider_recall(&rig->rider, told_mm);
        return true;
    }
    if (guided) {
        virtual_practice_piece(&rig->rider.practice);
    }
    virtual_rider_sit(&rig->rider, told_mm);
    return true;
}

/* 'plate 930', 'plate off'. */
static bool tell_plate(struct virtual_rig *rig, const struct words *words, struct problem *problem)
{
    const char *value = words->count > 1 ? words->word[1].value : "off";
    double height_mm = NAN;
    if (!text_equal(value, "off")) {
        if (!words_number(value, "mm", &height_mm, problem)) {
            return false;
        }
        if (height_mm < -500 || height_mm > 3000) {
            return problem_usage(problem, "plate: %s mm is no height over the bottom bracket",
                                 value);
        }
    }
    rig->plate_mm = height_mm;
    return true;
}

/* 'ride power=230 cadence=95 heart=150'. */
static bool tell_ride(struct virtual_rig *rig, const struct words *words, struct problem *problem)
{
    double power_w = rig->settings.power_w, heart_per_min = rig->settings.heart_per_min;
    double cadence_per_min = 60 * rig->settings.cadence_hz;
    const char *power = words_value(words, "power"), *cadence = words_value(words, "cadence");
    const char *heart = words_value(words, "heart");
    if ((power != NULL && !words_number(power, "W", &power_w, problem)) ||
        (cadence != NULL && !words_number(cadence, "rpm", &cadence_per_min, problem)) ||
        (heart != NULL && !words_number(heart, "", &heart_per_min, problem))) {
        return false;
    }
    if (power_w < 0 || power_w > 2000 || cadence_per_min < 1 || cadence_per_min > 200 ||
        heart_per_min < 0 || heart_per_min > 250) {
        return problem_usage(problem, "ride: no rider does that");
    }
    rig->settings.power_w = power_w;
    rig->settings.cadence_hz = cadence_per_min / 60;
    rig->settings.heart_per_min = heart_per_min;
    return true;
}

bool virtual_rig_tell(struct virtual_rig *rig, const char *line, struct problem *problem)
{
    struct words words;
    if (!words_split(line, &words, problem)) {
        return false;
    }
    const char *verb = words.count > 0 && words.word[0].key == NULL ? words.word[0].value : "";
    if (text_equal(verb, "bike")) {
        return tell_bike(rig, &words, problem);
    }
    if (text_equal(verb, "mount")) {
        return tell_mount(rig, &words, problem);
    }
    if (text_equal(verb, "build")) {
        virtual_bike_build(&rig->bike, rig->settings.build_sd_mm);
        virtual_rider_build(&rig->rider);
        return true;
    }
    if (text_equal(verb, "sit")) {
        return tell_sit(rig, &words, problem);
    }
    if (text_equal(verb, "plate")) {
        return tell_plate(rig, &words, problem);
    }
    if (text_equal(verb, "ride")) {
        return tell_ride(rig, &words, problem);
    }
    bool known = false;
    return virtual_scene_tell(&rig->scene, &rig->settings,
                              (double)(rig->sequence - 1) * rig->step_s, &words, &known, problem);
}

/* Noise of a time-of-flight sensor against a white target, SD in mm at a range in mm, scaled to 1.8
 * at 300 (measured: 1.0 at 100, 1.8 at 300, 2.7 at 400). */
static double noise_sd_mm(const struct virtual_rig *rig, double range_mm)
{
    double at_mm = fmin(fmax(range_mm, 100), 1000);
    double sd = at_mm <= 300 ? 1.0 + (at_mm - 100) * 0.004 : 1.8 + (at_mm - 300) * 0.009;
    return rig->settings.noise_mm_at_300 * sd / 1.8;
}

/* A two-state chain that is in its bad state for share of the time, in bursts of the given mean
 * length. */
static bool in_burst(struct random_source *source, bool *bad, double share, double mean_length)
{
    if (share <= 0) {
        return false;
    }
    if (share >= 1) {
        return true;
    }
    double leave = 1 / mean_length;
    double enter = fmin(1, leave * share / (1 - share));
    *bad = random_uniform(source) < (*bad ? 1 - leave : enter);
    return *bad;
}

/* Tenths of its unit: a power meter's reading scatters with each turn, the others change slowly. */
static int64_t read_auxiliary(struct virtual_rig *rig, int channel)
{
    double noise = random_normal(&rig->sensor);
    switch (rig->auxiliary[channel]) {
    case AUXILIARY_POWER:
        return llround(10 * fmax(0, rig->settings.power_w + 8 * noise));
    case AUXILIARY_CADENCE:
        return llround(600 * rig->rider.crank_per_s);
    default:
        return 10 * llround(fmax(0, rig->settings.heart_per_min + noise));
    }
}

/* What the beams would measure without noise. */
static void see_all(const struct virtual_rig *rig, double time_s, double range_mm[CHANNELS_MAX])
{
    bool out_of_beam[CHANNELS_MAX] = {false};
    for (int i = 0; i < rig->settings.channel_count; i++) {
        double height_mm =
            isnan(rig->plate_mm)
                ? rig->rider.channel[i].body_mm +
                      virtual_scene_body_mm(&rig->scene, rig->settings.channel_name[i], time_s)
                : rig->plate_mm;
        height_mm -= virtual_practice_sensor_mm(&rig->rider.practice, i, time_s);
        range_mm[i] = virtual_bike_range_mm(&rig->bike, i, height_mm);
        out_of_beam[i] = range_mm[i] <= 0;
    }
    virtual_scene_ranges(&rig->scene, &rig->settings, time_s, range_mm);
    for (int i = 0; i < rig->settings.channel_count; i++) {
        range_mm[i] = out_of_beam[i] ? 0 : range_mm[i];
    }
}

/* The reading as printed, in tenths of a millimetre; -1 = none. mark: 0 or the doubtful letter. */
static int64_t read_channel(struct virtual_rig *rig, int channel, double range_mm, double time_s,
                            char *mark)
{
    const struct virtual_rig_settings *settings = &rig->settings;
    struct random_source *source = &rig->sensor;
    /* Every draw is made at every sample, so that one fault does not shift the others. */
    double noise = random_normal(source);
    double chance = random_uniform(source);
    bool missing =
        in_burst(source, &rig->losing_channel[channel], settings->missing_share, MISSING_BURST);
    *mark = 0;
    if (settings->second_share > 0 &&
        in_burst(source, &rig->on_second[channel], settings->second_share, SECOND_BURST)) {
        range_mm += settings->second_mm;
    }
    if (missing || range_mm <= 0) {
        return -1;
    }
    range_mm += noise * noise_sd_mm(rig, range_mm);
    if (time_s < 10 * WARM_UP_S) {
        range_mm += settings->warm_up_mm * exp(-time_s / WARM_UP_S);
    }
    if (chance < settings->outlier_share) {
        /* Something else is in the beam, or the far wall. */
        range_mm += (chance < settings->outlier_share / 2 ? -0.35 : 0.8) * range_mm;
    } else if (chance > 1 - settings->doubtful_share) {
        *mark = chance > 1 - settings->doubtful_share / 4 ? 's' : 'w';
        range_mm += 3 * noise * noise_sd_mm(rig, range_mm);
    }
    if (range_mm > RANGE_MOST_MM) {
        *mark = 'r';
        range_mm = RANGE_MOST_MM;
    }
    double quantum_mm = settings->quantum_mm;
    return llround(10 * quantum_mm * fmax(0, rint(range_mm / quantum_mm)));
}

static char *put_number(char *at, uint64_t number)
{
    char digits[20];
    int count = 0;
    do {
        digits[count++] = (char)('0' + number % 10);
        number /= 10;
    } while (number > 0);
    while (count > 0) {
        *at++ = digits[--count];
    }
    return at;
}

size_t virtual_rig_next(struct virtual_rig *rig, char *bytes, size_t size, int64_t *rig_time_us)
{
    if (size < VIRTUAL_RIG_BYTES) {
        return 0;
    }
    uint64_t index = rig->sequence - 1;
    double time_s = (double)index * rig->step_s;
    int64_t time_us = RIG_STARTS_US + llround(time_s * 1e6);
    if (index > 0) {
        virtual_rider_step(&rig->rider, rig->step_s);
    } else {
        virtual_rider_step(&rig->rider, 0);
    }
    char *at = bytes;
    if (rig->lines_to_heading == 0) {
        memcpy(at, rig->heading, rig->heading_length);
        at += rig->heading_length;
        rig->lines_to_heading = rig->heading_every;
    }
    rig->lines_to_heading--;
    char *line = at;
    *at++ = '$';
    at = put_number(at, rig->sequence);
    *at++ = ',';
    at = put_number(at, (uint64_t)time_us);
    double range_mm[CHANNELS_MAX];
    see_all(rig, time_s, range_mm);
    for (int i = 0; i < rig->settings.channel_count; i++) {
        char mark = 0;
        int64_t tenths = rig->auxiliary[i] >= 0 ? read_auxiliary(rig, i)
                                                : read_channel(rig, i, range_mm[i], time_s, &mark);
        *at++ = ',';
        if (tenths >= 0) {
            at = put_number(at, (uint64_t)tenths / 10);
            *at++ = '.';
            *at++ = (char)('0' + tenths % 10);
            if (mark != 0) {
                *at++ = mark;
            }
        }
    }
    unsigned sum = 0;
    for (const char *from = line + 1; from < at; from++) {
        sum ^= (unsigned char)*from;
    }
    *at++ = '*';
    *at++ = "0123456789ABCDEF"[sum >> 4];
    *at++ = "0123456789ABCDEF"[sum & 15];
    *at++ = '\n';
    rig->sequence++;
    *rig_time_us = time_us;
    if (in_burst(&rig->sensor, &rig->losing, rig->settings.lost_share, LOST_BURST)) {
        at = line; /* a heading stays: it is what a rig sends again anyway */
    }
    return (size_t)(at - bytes);
}

void virtual_rig_truth(const struct virtual_rig *rig, struct virtual_truth *truth)
{
    *truth = (struct virtual_truth){.body_height_mm = {0}};
    for (int i = 0; i < rig->settings.channel_count; i++) {
        truth->body_height_mm[i] = rig->rider.channel[i].body_mm;
        truth->posture_height_mm[i] = virtual_rider_posture_mm(&rig->rider, i);
        truth->setup_height_mm[i] = rig->rider.channel[i].setup_mm;
        double time_s = rig->sequence > 1 ? (double)(rig->sequence - 2) * rig->step_s : 0.0;
        truth->sensor_height_mm[i] = virtual_bike_sensor_mm(&rig->bike, i) +
                                     virtual_practice_sensor_mm(&rig->rider.practice, i, time_s);
    }
}
