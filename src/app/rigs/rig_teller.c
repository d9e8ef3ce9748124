/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/rig_teller.h"

#include "analysis/check.h"
#include "base/text.h"
#include "base/words.h"
#include "measure/rules.h"

#include <math.h>
#include <stdio.h>

/* Where the plate is held when nobody said its height: any height does, as long as it stays. */
#define PLATE_HEIGHT_MM 930.0

static const struct build_record *current_build(const struct session_record *record)
{
    return record->build_count > 0 ? &record->build[record->build_count - 1] : NULL;
}

static bool tell_bike(const struct session_record *record, struct link *link,
                      struct problem *problem)
{
    const struct build_record *build = current_build(record);
    char line[2048] = "";
    size_t used = 0;
    if (build == NULL) {
        return true;
    }
    text_append(line, sizeof line, &used, "bike");
    for (int k = 0; k < BIKE_KEYS; k++) {
        double value = record->setup[build->setup].bike.value[k];
        if (!isnan(value)) {
            char number[32];
            text_from_double_shortest(number, sizeof number, value);
            text_append(line, sizeof line, &used, " %s=%s", bike_fields[k].key, number);
        }
    }
    return link_write_line(link, line, problem);
}

static bool tell_mounts(const struct session_record *record, struct link *link,
                        struct problem *problem)
{
    if (record->placing_count == 0) {
        return true;
    }
    const struct placing_record *placing = &record->placing[record->placing_count - 1];
    for (int c = 0; c < placing->channel_count; c++) {
        const struct channel_record *channel = &placing->channel[c];
        if (!channel->mounted || isnan(channel->mount.x_mm) || isnan(channel->mount.y_mm)) {
            continue;
        }
        char line[512], name[2 * CHANNEL_NAME_SIZE];
        words_quote(name, sizeof name, channel->name);
        snprintf(line, sizeof line, "mount %s carrier=%s x=%.2f y=%.2f tilt=%.2f look=%s", name,
                 word_of(&carrier_keys, channel->mount.carrier), channel->mount.x_mm,
                 channel->mount.y_mm, channel->mount.tilt_deg, look_word(channel->mount.direction));
        if (!link_write_line(link, line, problem)) {
            return false;
        }
    }
    return true;
}

/* A hold begins: the rider sits down anew, to the target's heights where something is told of it,
 * from memory where it is practice without. */
static const char *sits_how(const struct hold_record *hold)
{
    return hold->guided || told_during(hold->told) ? "guided"
           : hold->purpose != PURPOSE_NONE         ? "recalled"
                                                   : "free";
}

static bool tell_sit(const struct session *session, const char *how, struct link *link,
                     struct problem *problem)
{
    const struct session_record *record = session_records(session);
    const struct analysis *analysis = session_analysis(session);
    char line[512] = "";
    size_t used = 0;
    text_append(line, sizeof line, &used, "sit %s", how);
    int build = record->hold_count > 0 ? record->hold[record->hold_count - 1].build : 0;
    int target = record->hold_count > 0 ? record->hold[record->hold_count - 1].target : -1;
    for (int c = 0; !text_equal(how, "free") && target >= 0 && c < analysis->channel_count; c++) {
        /* not tied: a range, which is no height to sit at */
        if (analysis->target[target][c].has &&
            tie_is_over_bottom_bracket(&analysis->tie[build][c])) {
            text_append(line, sizeof line, &used, " %s=%.1f", analysis->channel_name[c],
                        analysis->target[target][c].height_mm);
        }
    }
    return link_write_line(link, line, problem);
}

#define SIT_UP_LINE "rise 220 2.5s"

/* Before a free hold the rider sits up and comes back, where the countdown leaves time for it. */
static bool tell_sit_up(const struct hold_record *hold, const char *settle, struct link *link,
                        struct problem *problem)
{
    double settle_s = SETTLE_S;
    if (settle != NULL) {
        words_number(settle, "s", &settle_s, NULL);
    }
    return hold->guided || hold->purpose != PURPOSE_NONE || settle_s < RESIT_LOOKED_S ||
           link_write_line(link, SIT_UP_LINE, problem);
}

static bool tell_plate(struct rig_teller *teller, const struct session *session,
                       const struct words *words, struct link *link, struct problem *problem)
{
    char line[64];
    double height_mm = PLATE_HEIGHT_MM;
    const char *height = words_value(words, "height");
    if (session_phase(session) != VIEW_PLATE && session_phase(session) != VIEW_SETTLING) {
        return true; /* typed in: nothing is held over the sensors */
    }
    if (height != NULL) {
        words_number(height, "mm", &height_mm, NULL);
    }
    teller->plate_held = true;
    snprintf(line, sizeof line, "plate %.1f", height_mm);
    return link_write_line(link, line, problem);
}

/* What is held before the sensors for a check, phase by phase, and taken away at its end. */
static bool tell_check(struct rig_teller *teller, const struct session *session, struct link *link,
                       struct problem *problem)
{
    int phase = 0;
    bool recording = false;
    const struct check_plan *plan = session_check(session, &phase, &recording);
    if (plan == NULL) {
        teller->checking = false;
        for (int i = 0; check_rig_after[i] != NULL; i++) {
            if (!link_write_line(link, check_rig_after[i], problem)) {
                return false;
            }
        }
        return true;
    }
    bool new_phase = !teller->checking || teller->check_phase != phase;
    bool begins = recording && (new_phase || !teller->check_recording);
    teller->checking = true;
    teller->check_phase = phase;
    teller->check_recording = recording;
    const char *before = plan->phase[phase].rig_before, *during = plan->phase[phase].rig_during;
    return (!new_phase || before[0] == '\0' || link_write_line(link, before, problem)) &&
           (!begins || during[0] == '\0' || link_write_line(link, during, problem));
}

bool rig_teller_command(struct rig_teller *teller, const struct session *session, const char *line,
                        struct link *link, struct problem *problem)
{
    struct words words;
    if (link == NULL || !words_split(session_line_alone(line), &words, NULL) || words.count == 0) {
        return true;
    }
    const struct session_record *record = session_records(session);
    const char *word = words.word[0].value;
    if (text_equal(word, "setup") || text_equal(word, "build")) {
        return tell_bike(record, link, problem) && link_write_line(link, "build", problem);
    }
    if (text_equal(word, "undo") || text_equal(word, "redo")) {
        return tell_bike(record, link, problem) && tell_mounts(record, link, problem);
    }
    if (text_equal(word, "bike") || text_equal(word, "correct") || text_equal(word, "belongs")) {
        return tell_bike(record, link, problem);
    }
    if (text_equal(word, "sensor") || text_equal(word, "rig")) {
        return tell_mounts(record, link, problem);
    }
    if (text_equal(word, "hold") || text_equal(word, "ride")) {
        const struct hold_record *hold = &record->hold[record->hold_count - 1];
        return tell_sit(session, sits_how(hold), link, problem) &&
               tell_sit_up(hold, words_value(&words, "settle"), link, problem);
    }
    if (text_equal(word, "target") && session_phase(session) == VIEW_SETTLING) {
        return tell_sit(session, "free", link, problem);
    }
    if (text_equal(word, "plate")) {
        return tell_plate(teller, session, &words, link, problem);
    }
    if (session_phase(session) == VIEW_CHECK) {
        teller->plate_held = true; /* something is before the sensors: samples are watched */
        return tell_check(teller, session, link, problem);
    }
    return true;
}

bool rig_teller_samples(struct rig_teller *teller, const struct session *session, struct link *link,
                        struct problem *problem)
{
    enum view_phase phase = session_phase(session);
    if (!teller->plate_held || link == NULL || phase == VIEW_PLATE || phase == VIEW_SETTLING) {
        return true;
    }
    if (phase == VIEW_CHECK) {
        return tell_check(teller, session, link, problem);
    }
    teller->plate_held = false;
    if (teller->checking) {
        return tell_check(teller, session, link, problem);
    }
    return link_write_line(link, "plate off", problem);
}

void rig_command_line(char *line, size_t size, const struct rig_info *info)
{
    char id[2 * sizeof info->id], channels[CHANNELS_MAX * (CHANNEL_NAME_SIZE + 1)] = "";
    char rate[32], quoted[2 * sizeof channels];
    size_t used = 0;
    for (int c = 0; c < info->channel_count; c++) {
        text_append(channels, sizeof channels, &used, "%s%s", c > 0 ? "," : "",
                    info->channel_name[c]);
    }
    words_quote(id, sizeof id, info->id[0] != '\0' ? info->id : "sensors");
    words_quote(quoted, sizeof quoted, channels);
    text_from_double_shortest(rate, sizeof rate, info->rate_hz);
    snprintf(line, size, "rig %s rate=%s channels=%s", id, rate, quoted);
}
