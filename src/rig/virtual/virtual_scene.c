/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "virtual_scene.h"

#include "base/angle.h"
#include "base/text.h"

#include <math.h>

#define NODS 3
#define HAND_SHARE 0.6 /* of the range, where the hand is on average */
#define HAND_SWING_MM 40
#define HAND_HZ 0.6
#define WAVE_HZ 1.5
#define WAVING_SHARE 0.4 /* of the range: where a waving hand crosses a beam that sees it */

static bool read_channel_word(const struct virtual_rig_settings *settings,
                              const struct words *words, int place, int *channel,
                              struct problem *problem)
{
    const char *name = words->count > place ? words->word[place].value : "";
    *channel = virtual_rig_channel(settings, name);
    if (*channel < 0) {
        return problem_usage(problem, "%s: there is no channel '%s'", words->word[0].value, name);
    }
    return true;
}

/* 'block 25 head', 'distance 400 head', and off. */
static bool tell_size(double size_mm[CHANNELS_MAX], const struct virtual_rig_settings *settings,
                      const struct words *words, double most_mm, struct problem *problem)
{
    int channel = -1;
    double mm = 0.0;
    if (words->count < 2 || text_equal(words->word[1].value, "off")) {
        for (int i = 0; i < CHANNELS_MAX; i++) {
            size_mm[i] = 0.0;
        }
        return true;
    }
    if (!words_number(words->word[1].value, "mm", &mm, problem) ||
        !read_channel_word(settings, words, 2, &channel, problem)) {
        return false;
    }
    if (mm < 0 || mm > most_mm) {
        return problem_usage(problem, "%s: %s mm is not between 0 and %g mm", words->word[0].value,
                             words->word[1].value, most_mm);
    }
    size_mm[channel] = mm;
    return true;
}

static bool tell_hand(struct virtual_scene *scene, const struct virtual_rig_settings *settings,
                      const struct words *words, struct problem *problem)
{
    int channel = -1;
    if (words->count < 2 || text_equal(words->word[1].value, "off")) {
        for (int i = 0; i < CHANNELS_MAX; i++) {
            scene->hand[i] = false;
        }
        return true;
    }
    if (!read_channel_word(settings, words, 1, &channel, problem)) {
        return false;
    }
    scene->hand[channel] = true;
    return true;
}

/* 'nod 40 5s', 'wave 5s'. */
static bool tell_movement(struct virtual_movement *movement, bool has_size, double now_s,
                          const struct words *words, struct problem *problem)
{
    struct virtual_movement told = {.from_s = now_s, .length_s = 5.0};
    int at = 1;
    if (has_size && (words->count < 2 ||
                     !words_number(words->word[at++].value, "mm", &told.size_mm, problem))) {
        return problem_usage(problem, "%s: say by how many mm", words->word[0].value);
    }
    if (words->count > at && !words_number(words->word[at].value, "s", &told.length_s, problem)) {
        return false;
    }
    if (fabs(told.size_mm) > 500 || told.length_s < 0.1 || told.length_s > 600) {
        return problem_usage(problem, "%s: no rider does that", words->word[0].value);
    }
    *movement = told;
    return true;
}

bool virtual_scene_tell(struct virtual_scene *scene, const struct virtual_rig_settings *settings,
                        double now_s, const struct words *words, bool *known,
                        struct problem *problem)
{
    const char *verb = words->count > 0 && words->word[0].key == NULL ? words->word[0].value : "";
    *known = true;
    if (text_equal(verb, "block")) {
        return tell_size(scene->block_mm, settings, words, 1000, problem);
    }
    if (text_equal(verb, "distance")) {
        return tell_size(scene->distance_mm, settings, words, 4000, problem);
    }
    if (text_equal(verb, "hand")) {
        return tell_hand(scene, settings, words, problem);
    }
    if (text_equal(verb, "nod")) {
        return tell_movement(&scene->nod, true, now_s, words, problem);
    }
    if (text_equal(verb, "rise")) {
        return tell_movement(&scene->rise, true, now_s, words, problem);
    }
    if (text_equal(verb, "wave")) {
        return tell_movement(&scene->wave, false, now_s, words, problem);
    }
    *known = false;
    return true;
}

/* 0 to 1 and back, 'times' times within its length. */
static double bump(const struct virtual_movement *movement, double now_s, int times)
{
    double at = movement->length_s > 0.0 ? (now_s - movement->from_s) / movement->length_s : -1.0;
    return at >= 0.0 && at < 1.0 ? 0.5 * (1.0 - cos(TWO_PI * (double)times * at)) : 0.0;
}

double virtual_scene_body_mm(const struct virtual_scene *scene, const char *channel_name,
                             double now_s)
{
    bool head = text_equal(channel_name, "head"), chest = text_equal(channel_name, "chest");
    double nod = bump(&scene->nod, now_s, NODS);
    double rise = bump(&scene->rise, now_s, 1);
    return -scene->nod.size_mm * nod *
               (head    ? 1.0
                : chest ? 0.05
                        : 0.1) +
           scene->rise.size_mm * rise * (head || chest ? 1.0 : 0.6);
}

void virtual_scene_ranges(const struct virtual_scene *scene,
                          const struct virtual_rig_settings *settings, double now_s,
                          double range_mm[CHANNELS_MAX])
{
    double change_mm[CHANNELS_MAX] = {0.0}, all_mm = 0.0;
    double waved_s = now_s - scene->wave.from_s;
    bool waving =
        waved_s < scene->wave.length_s && fmod(waved_s * WAVE_HZ, 1.0) < settings->hands_seen_share;
    for (int c = 0; c < settings->channel_count; c++) {
        bool at_distance = scene->distance_mm[c] > 0.0;
        range_mm[c] = at_distance ? scene->distance_mm[c] : range_mm[c];
        double seen_mm = range_mm[c] - scene->block_mm[c];
        if (scene->hand[c]) {
            seen_mm = fmin(seen_mm, HAND_SHARE * range_mm[c] +
                                        HAND_SWING_MM * sin(TWO_PI * HAND_HZ * now_s));
        }
        if (waving) {
            seen_mm = fmin(seen_mm, WAVING_SHARE * range_mm[c]);
        }
        change_mm[c] = seen_mm - range_mm[c];
        all_mm += change_mm[c];
    }
    for (int c = 0; c < settings->channel_count; c++) {
        double spilled_mm = settings->crosstalk_share * (all_mm - change_mm[c]);
        range_mm[c] = settings->scale * (range_mm[c] + change_mm[c] + spilled_mm);
    }
}
