/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "session/view_json.h"

#include "base/json.h"
#include "base/json_read.h"
#include "base/numbers.h"
#include "base/text.h"

#include <math.h>
#include <string.h>

#define VIEW_JSON_FORMAT "holdline-view"
#define VIEW_JSON_VERSION 1

static const char *const phase_words[] = {"waiting", "live",  "settling", "hold",
                                          "target",  "plate", "check",    "ended"};
static const char *const cue_words[] = {"no reading", "in", "high", "low"};

#define RIDE_MINUTES_TOLD 12

static void member_mm(struct json_writer *json, const char *name, double value)
{
    json_member_rounded(json, name, value, 1); /* not finite gives null */
}

static void write_channel(struct json_writer *json, const struct view *view, int c)
{
    const struct view_channel *channel = &view->channel[c];
    json_object_begin(json);
    json_member_string(json, "name", snapshot_channel(view->snapshot, c)->name);
    json_member_boolean(json, "tied", snapshot_tied(view->snapshot, c));
    json_member_string(json, "cue", cue_words[channel->cue]);
    member_mm(json, "height_mm", channel->shown_mm);
    member_mm(json, "posture_mm", channel->slow_mm);
    member_mm(json, "instant_mm", channel->quick_mm);
    member_mm(json, "target_mm", channel->has_target ? channel->target_mm : NAN);
    member_mm(json, "band_above_mm", channel->has_band ? channel->band_above_mm : NAN);
    member_mm(json, "band_below_mm", channel->has_band ? channel->band_below_mm : NAN);
    json_member_boolean(json, "has_band", channel->has_band);
    member_mm(json, "creep_mm_per_min", channel->creep_mm_per_min);
    json_member_rounded(json, "in_band_share", channel->in_band_share, 3);
    json_object_end(json);
}

static void write_ride(struct json_writer *json, const struct view_ride *ride)
{
    json_object_member(json, "ride");
    json_member_boolean(json, "on", ride->on);
    json_member_boolean(json, "open", ride->open);
    json_member_boolean(json, "sat_up", ride->sat_up);
    json_member_boolean(json, "rest", ride->rest);
    json_member_integer(json, "up_times", ride->up_times);
    json_member_rounded(json, "up_s", ride->up_s, 1);
    json_array_member(json, "minutes");
    for (int i = 0; i < ride->count && i < RIDE_MINUTES_TOLD; i++) {
        json_object_begin(json);
        json_member_integer(json, "minute", ride->minute[i].minute);
        json_member_rounded(json, "in_band_share", ride->minute[i].in_band_share, 3);
        json_member_rounded(json, "up_s", ride->minute[i].up_s, 1);
        json_member_integer(json, "sounds", ride->minute[i].sounds);
        json_object_end(json);
    }
    json_array_end(json);
    json_object_end(json);
}

void view_json_write(const struct view *view, FILE *stream)
{
    const struct setup_record *setup = snapshot_setup(view->snapshot);
    struct json_writer json;
    json_document_begin(&json, stream, false, VIEW_JSON_FORMAT, VIEW_JSON_VERSION);
    json_member_string(&json, "phase", phase_words[view->phase]);
    json_member_rounded(&json, "session_s", view->session_s, 2);
    json_member_string(&json, "rider", view->snapshot->record.rider.code);
    json_member_string(&json, "bike", view->snapshot->record.bike.name);
    json_member_integer(&json, "setup", snapshot_setup_number(view->snapshot));
    json_member_integer(&json, "build", snapshot_build_ordinal(view->snapshot));
    json_member_string(&json, "intent", setup != NULL ? setup->intent : "");
    json_member_integer(&json, "hold", view->hold_number);
    json_member_boolean(&json, "guided", view->guided);
    json_member_rounded(&json, "countdown_s", view->countdown_s, 2);
    json_member_boolean(&json, "sit_up", view->sit_up);
    json_member_rounded(&json, "elapsed_s", view->elapsed_s, 2);
    json_member_rounded(&json, "planned_s", view->planned_s, 2);
    json_member_boolean(&json, "steady", view->steady);
    json_member_integer(&json, "worst_channel", view->asked_channel);
    json_member_integer(&json, "sounds", (int64_t)view->heard_serial);
    json_member_string(&json, "sound",
                       view->heard_serial > 0 ? word_of(&cue_sound_words, (int)view->heard) : "");
    json_member_boolean(&json, "link_down", view->health.link_down);
    json_member_boolean(&json, "silent", view->health.silent);
    json_member_integer(&json, "lost", (int64_t)view->health.lost);
    json_member_string(&json, "next_step", view->next_step);
    json_member_boolean(&json, "alone", view->alone);
    json_member_boolean(&json, "guess_due", view->guess_due);
    write_ride(&json, &view->ride);
    json_member_string(&json, "message", view->message);
    json_array_member(&json, "channels");
    for (int c = 0; c < view->channel_count; c++) {
        write_channel(&json, view, c);
    }
    json_array_end(&json);
    json_object_end(&json);
    fputc('\n', stream);
}

/* ---- back ----------------------------------------------------------------------------------- */

static int find_word(const char *const *words, int count, const char *word)
{
    for (int i = 0; i < count; i++) {
        if (text_equal(words[i], word)) {
            return i;
        }
    }
    return -1;
}

static double number_of(const struct json_document *document, int object, const char *name,
                        double fallback)
{
    double value = fallback;
    json_get_number(document, json_find(document, object, name), &value);
    return value;
}

static int whole_of(const struct json_document *document, int object, const char *name,
                    int fallback)
{
    double value = number_of(document, object, name, fallback);
    return value >= -1e6 && value <= 1e6 ? (int)value : fallback;
}

static bool truth_of(const struct json_document *document, int object, const char *name)
{
    bool value = false;
    json_get_boolean(document, json_find(document, object, name), &value);
    return value;
}

static void text_of(const struct json_document *document, int object, const char *name, char *text,
                    size_t size)
{
    char raw[1024] = "";
    json_get_string(document, json_find(document, object, name), raw, sizeof raw);
    text_clean(text, size, raw);
}

static void read_channel(const struct json_document *document, int object,
                         struct view_channel *channel)
{
    char word[32];
    text_of(document, object, "cue", word, sizeof word);
    int cue = find_word(cue_words, 4, word);
    channel->cue = channel->seen = cue >= 0 ? (enum cue_state)cue : CUE_NO_READING;
    channel->shown_mm = number_of(document, object, "height_mm", NAN);
    channel->slow_mm = number_of(document, object, "posture_mm", NAN);
    channel->quick_mm = number_of(document, object, "instant_mm", NAN);
    channel->target_mm = number_of(document, object, "target_mm", NAN);
    channel->has_target = !isnan(channel->target_mm);
    channel->target_half_width_mm = NAN;
    channel->has_band = truth_of(document, object, "has_band");
    channel->band_above_mm = number_of(document, object, "band_above_mm", INFINITY);
    channel->band_below_mm = number_of(document, object, "band_below_mm", INFINITY);
    channel->creep_mm_per_min = number_of(document, object, "creep_mm_per_min", NAN);
    channel->in_band_share = number_of(document, object, "in_band_share", NAN);
    channel->mean_mm = channel->mean_half_width_mm = NAN;
}

/* The setup on the bike, the only one that a line tells of. */
static void read_setup(const struct json_document *document, struct snapshot *snapshot)
{
    struct session_record *record = &snapshot->record;
    int number = whole_of(document, 0, "setup", 0);
    record->setup_count = record->build_count = number > 0 ? 1 : 0;
    snapshot->build = number > 0 ? 0 : -1;
    record->setup[0].number = number;
    record->build[0].setup = 0;
    record->build[0].ordinal = whole_of(document, 0, "build", 0);
    text_of(document, 0, "intent", record->setup[0].intent, sizeof record->setup[0].intent);
}

static void read_sensor(const struct json_document *document, int object, int c,
                        struct snapshot *snapshot)
{
    struct channel_record *sensor = &snapshot->record.placing[0].channel[c];
    text_of(document, object, "name", sensor->name, sizeof sensor->name);
    sensor->role = ROLE_BODY;
    sensor->mounted = truth_of(document, object, "tied");
    snapshot->analysis.tie[0][c] = (struct tie){.kind = TIE_FIRST, .absolute = sensor->mounted};
}

static void read_ride(const struct json_document *document, struct view_ride *ride)
{
    int object = json_find(document, 0, "ride");
    ride->on = truth_of(document, object, "on");
    ride->open = truth_of(document, object, "open");
    ride->sat_up = truth_of(document, object, "sat_up");
    ride->rest = truth_of(document, object, "rest");
    ride->up_times = whole_of(document, object, "up_times", 0);
    ride->up_s = number_of(document, object, "up_s", 0.0);
    int minutes = json_find(document, object, "minutes"), count = json_count(document, minutes);
    for (; ride->count < count && ride->count < RIDE_MINUTES_TOLD; ride->count++) {
        struct view_ride_minute *minute = &ride->minute[ride->count];
        int at = json_element(document, minutes, ride->count);
        minute->minute = whole_of(document, at, "minute", 0);
        minute->in_band_share = number_of(document, at, "in_band_share", NAN);
        minute->up_s = number_of(document, at, "up_s", 0.0);
        minute->sounds = whole_of(document, at, "sounds", 0);
        for (int c = 0; c < CHANNELS_MAX; c++) {
            minute->off_mm[c] = NAN; /* not told */
        }
    }
}

static void read_activity(const struct json_document *document, struct view *view)
{
    char word[32];
    view->hold_number = whole_of(document, 0, "hold", 0);
    view->guided = truth_of(document, 0, "guided");
    view->countdown_s = number_of(document, 0, "countdown_s", 0.0);
    view->sit_up = truth_of(document, 0, "sit_up");
    view->elapsed_s = number_of(document, 0, "elapsed_s", 0.0);
    view->planned_s = number_of(document, 0, "planned_s", 0.0);
    view->steady = truth_of(document, 0, "steady");
    text_of(document, 0, "sound", word, sizeof word);
    view->heard = (enum cue_sound)word_find(&cue_sound_words, word, CUE_SOUND_NONE);
    view->heard_serial = (uint64_t)fmax(number_of(document, 0, "sounds", 0.0), 0.0);
}

/* What is heard of the rig, and of its sensors. */
static void read_channels(const struct json_document *document, struct view *view,
                          struct snapshot *snapshot)
{
    view->health.link_down = truth_of(document, 0, "link_down");
    view->health.silent = truth_of(document, 0, "silent");
    view->health.lost = (uint64_t)fmax(number_of(document, 0, "lost", 0.0), 0.0);
    int channels = json_find(document, 0, "channels"), count = json_count(document, channels);
    view->channel_count = count < CHANNELS_MAX ? count : CHANNELS_MAX;
    snapshot->placing = 0;
    snapshot->record.placing_count = 1;
    snapshot->record.placing[0].channel_count = view->channel_count;
    for (int c = 0; c < view->channel_count; c++) {
        int object = json_element(document, channels, c);
        read_channel(document, object, &view->channel[c]);
        read_sensor(document, object, c, snapshot);
    }
    view->asked_channel = whole_of(document, 0, "worst_channel", -1);
    if (view->asked_channel >= view->channel_count) {
        view->asked_channel = -1;
    }
    view->asked_cue =
        view->asked_channel >= 0 ? view->channel[view->asked_channel].cue : CUE_NO_READING;
}

bool view_json_read(const char *line, size_t length, struct view *view, struct snapshot *snapshot,
                    struct problem *problem)
{
    struct json_document *document = json_document_read(line, length, problem);
    if (document == NULL) {
        return false;
    }
    char word[32], format[32];
    text_of(document, 0, "phase", word, sizeof word);
    int phase = find_word(phase_words, (int)(sizeof phase_words / sizeof phase_words[0]), word);
    text_of(document, 0, "format", format, sizeof format);
    if (!text_equal(format, VIEW_JSON_FORMAT) ||
        whole_of(document, 0, "format_version", 0) != VIEW_JSON_VERSION || phase < 0) {
        json_document_free(document);
        return problem_set(problem,
                           "the session speaks another version: start watch from the same program");
    }
    uint64_t serial = view->serial + 1;
    memset(view, 0, sizeof *view);
    view->serial = serial;
    view->snapshot = snapshot;
    view->phase = (enum view_phase)phase;
    view->session_s = number_of(document, 0, "session_s", 0.0);
    view->minutes_left = NAN;
    text_of(document, 0, "rider", snapshot->record.rider.code, sizeof snapshot->record.rider.code);
    text_of(document, 0, "bike", snapshot->record.bike.name, sizeof snapshot->record.bike.name);
    read_setup(document, snapshot);
    text_of(document, 0, "next_step", view->next_step, sizeof view->next_step);
    view->alone = truth_of(document, 0, "alone");
    view->guess_due = truth_of(document, 0, "guess_due");
    read_ride(document, &view->ride);
    text_of(document, 0, "message", view->message, sizeof view->message);
    read_activity(document, view);
    read_channels(document, view, snapshot);
    json_document_free(document);
    return true;
}

#define STATUS_CELLS 40
#define STATUS_NAME_CELLS 5

void view_status_line(const struct view *view, char *text, size_t size)
{
    char line[256];
    size_t used = 0;
    line[0] = '\0';
    text_append(line, sizeof line, &used, "%d ", snapshot_setup_number(view->snapshot));
    switch (view->phase) {
    case VIEW_SETTLING:
        text_append(line, sizeof line, &used, "settle %.0f", ceil(view->countdown_s));
        break;
    case VIEW_HOLD:
    case VIEW_TARGET:
        text_append(line, sizeof line, &used, "%s %.0f/%.0fs", phase_words[view->phase],
                    view->elapsed_s, view->planned_s);
        break;
    default:
        text_append(line, sizeof line, &used, "%s", phase_words[view->phase]);
    }
    for (int c = 0; c < view->channel_count && c < 2; c++) {
        const struct view_channel *channel = &view->channel[c];
        char name[CHANNEL_NAME_SIZE], number[32];
        text_fit(name, sizeof name, snapshot_channel(view->snapshot, c)->name, STATUS_NAME_CELLS,
                 true);
        text_append(line, sizeof line, &used, " %s", name);
        if (isnan(channel->shown_mm)) {
            text_append(line, sizeof line, &used, " -");
        } else if (channel->has_target) {
            say_signed(number, sizeof number, channel->shown_mm - channel->target_mm, 0);
            text_append(line, sizeof line, &used, " %s%s", number,
                        channel->cue == CUE_HIGH  ? "^"
                        : channel->cue == CUE_LOW ? "v"
                                                  : "");
        } else {
            say_whole(number, sizeof number, channel->shown_mm);
            text_append(line, sizeof line, &used, " %s", number);
        }
    }
    text_fit(text, size, line, STATUS_CELLS, true);
}
