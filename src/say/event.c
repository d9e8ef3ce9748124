/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/event.h"

#include "base/numbers.h"
#include "base/text.h"
#include "record/enum_words.h"
#include "say/holds.h"
#include "say/say.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* What each record has to say for itself in the list of what has happened. */

struct teller {
    const struct session_record *record;
    const struct analysis *analysis;
    enum effect_kind kind;
    int index;
    struct event *event;
    size_t used;
};

static void say(struct teller *teller, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
static void say(struct teller *teller, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    text_append_list(teller->event->text, sizeof teller->event->text, &teller->used, format,
                     arguments);
    va_end(arguments);
}

static void say_what(struct teller *teller, enum event_kind kind, const char *word, int number)
{
    struct event *event = teller->event;
    event->kind = kind;
    if (number > 0) {
        snprintf(event->what, sizeof event->what, "%s %d", word, number);
    } else {
        text_copy(event->what, sizeof event->what, word);
    }
}

static void say_half_width(struct teller *teller, double half_width_mm)
{
    if (isfinite(half_width_mm)) {
        say(teller, " \u00B1%.0f", ceil(half_width_mm));
    }
}

static void tell_person(struct teller *teller)
{
    const struct session_record *record = teller->record;
    if (teller->kind == EFFECT_RIDER) {
        say_what(teller, EVENT_PEOPLE, "rider", 0);
        say(teller, "%s  %s", record->rider.code, record->rider.name);
        if (record->rider.watch_for[0] != '\0') {
            say(teller, "  watch for: %s", record->rider.watch_for);
        }
    } else {
        say_what(teller, EVENT_PEOPLE, "bike", 0);
        say(teller, "%s", record->bike.name);
    }
}

static void tell_placing(struct teller *teller)
{
    const struct placing_record *placing = &teller->record->placing[teller->index];
    say_what(teller, EVENT_PEOPLE, "sensors", 0);
    for (int c = 0; c < placing->channel_count; c++) {
        say(teller, "%s%s", c > 0 ? ", " : "", placing->channel[c].name);
    }
    if (placing->rig_id[0] != '\0') {
        say(teller, " of rig %s", placing->rig_id);
    }
    say(teller, "%s", teller->index > 0 ? ", fixed anew" : "");
}

static void tell_setup(struct teller *teller)
{
    int index = teller->index;
    const struct setup_record *setup = &teller->record->setup[index];
    char changes[TEXT_SIZE] = "";
    say_what(teller, EVENT_SETUP, "setup", setup->number);
    if (index > 0) {
        bike_changes_text(changes, sizeof changes, &teller->record->setup[index - 1].bike,
                          &setup->bike);
    }
    say(teller, "%s%s%s", setup->intent, setup->intent[0] != '\0' && changes[0] != '\0' ? ": " : "",
        changes);
}

static void tell_build(struct teller *teller)
{
    const struct build_record *build = &teller->record->build[teller->index];
    const struct setup_record *setup = &teller->record->setup[build->setup];
    say_what(teller, EVENT_SETUP, "setup", setup->number);
    say(teller, "build %d%s%s", build->ordinal, setup->intent[0] != '\0' ? ": " : "",
        setup->intent);
}

static void tell_target(struct teller *teller)
{
    int index = teller->index, told = 0;
    const struct analysis *analysis = teller->analysis;
    const struct target_record *target = &teller->record->target[index];
    bool running =
        target->capture >= 0 && teller->record->capture[target->capture].last_sample == 0;
    say_what(teller, EVENT_TARGET, "target", 0);
    if (!target->kept) {
        say(teller, "%s", running ? "being taken" : "dropped");
        return;
    }
    for (int c = 0; c < analysis->channel_count; c++) {
        const struct channel_target *height = &analysis->target[index][c];
        if (height->has && isfinite(height->height_mm)) {
            char mean[32];
            say_whole(mean, sizeof mean, height->height_mm);
            say(teller, "%s%s %s", told++ > 0 ? ", " : "", analysis->channel_name[c], mean);
            say_half_width(teller, height->half_width_mm);
        }
    }
    say(teller, "%s%s", told > 0 ? " mm" : "no heights", target->capture < 0 ? ", as entered" : "");
}

static void say_limit(struct teller *teller, const char *sign, double limit_mm)
{
    if (isfinite(limit_mm)) {
        say(teller, "%s%.0f", sign, limit_mm);
    } else {
        say(teller, "none");
    }
}

static void tell_band(struct teller *teller)
{
    const struct band_record *band = &teller->record->band[teller->index];
    int told = 0;
    say_what(teller, EVENT_BAND, "band", 0);
    for (int c = 0; c < teller->analysis->channel_count; c++) {
        if (band->limited[c]) {
            say(teller, "%s%s ", told++ > 0 ? ", " : "", teller->analysis->channel_name[c]);
            say_limit(teller, "+", band->cue[c].band_above_mm);
            say(teller, " ");
            say_limit(teller, "-", band->cue[c].band_below_mm);
        }
    }
    say(teller, " mm");
}

static void say_hold_numbers(struct teller *teller, const struct hold_result *result)
{
    const struct analysis *analysis = teller->analysis;
    const char *between = ":";
    for (int c = 0; c < analysis->channel_count; c++) {
        const struct hold_summary *summary = &result->summary[c];
        if (!analysis->body[c] || !result->has[c] || summary->status != MEASURE_OK) {
            continue;
        }
        char mean[32];
        say_whole(mean, sizeof mean, summary->mean_mm);
        say(teller, "%s %s %s", between, analysis->channel_name[c], mean);
        say_half_width(teller, summary->has_interval ? summary->mean_half_width_mm : (double)NAN);
        if (summary->has_band) {
            say(teller, " (%.0f%% in band)", 100.0 * summary->in_band_share);
        }
        between = ",";
    }
}

/* 'free 60 s', 'test 3 min', 'guided piece 45 s'; a ride by how long it was: it may be open. */
static void say_hold(struct teller *teller, const struct hold_record *hold)
{
    const char *purpose = word_of(&purpose_words, hold->purpose);
    double length_s = hold->planned_s;
    char length[32] = "";
    if (hold->purpose == PURPOSE_RIDE) {
        bool over = hold->status != HOLD_RUNNING;
        length_s = over ? teller->analysis->hold[teller->index].duration_s : 0.0;
    }
    if (length_s > 0.0) {
        say_duration(length, sizeof length, length_s);
    }
    bool plain = purpose != NULL && !hold->guided;
    say(teller, "%s%s%s%s%s", plain ? "" : say_hold_kind(hold->guided, false, false),
        purpose != NULL && !plain ? " " : "", purpose != NULL ? purpose : "",
        length[0] != '\0' ? " " : "", length);
}

static void tell_hold(struct teller *teller)
{
    int index = teller->index;
    const struct hold_record *hold = &teller->record->hold[index];
    const struct build_record *build = &teller->record->build[hold->build];
    struct event *event = teller->event;
    char found[128];
    say_what(teller, EVENT_HOLD, "hold", hold->number);
    event->hold = hold->number;
    event->left_out = hold->rejected;
    say_hold(teller, hold);
    say(teller, ", setup %d", teller->record->setup[build->setup].number);
    if (build->ordinal > 1) {
        say(teller, " build %d", build->ordinal);
    }
    if (hold->status == HOLD_RUNNING) {
        say(teller, ", being recorded");
        return;
    }
    say_hold_numbers(teller, &teller->analysis->hold[index]);
    say_hold_findings(found, sizeof found, hold_findings_of(hold, &teller->analysis->hold[index]),
                      SAY_HOLD_JOURNAL);
    say(teller, "%s%s", found, hold->rejected ? hold->reject_reason : "");
}

static void tell_mark(struct teller *teller)
{
    const struct mark_record *mark = &teller->record->mark[teller->index];
    say_what(teller, EVENT_MARK, "mark", 0);
    say(teller, "%s", word_of(&mark_words, mark->kind));
    if (mark->hold >= 0) {
        teller->event->hold = teller->record->hold[mark->hold].number;
        say(teller, ", in hold %d", teller->event->hold);
    }
}

static void tell_rating(struct teller *teller)
{
    const struct rating_record *rating = &teller->record->rating[teller->index];
    say_what(teller, EVENT_RATING, "rating", 0);
    char text[sizeof teller->event->text];
    say_rating(text, sizeof text, rating);
    say(teller, "setup %d: %s", teller->record->setup[rating->setup].number, text);
}

static void tell_air(struct teller *teller)
{
    const struct air_record *air = &teller->record->air[teller->index];
    say_what(teller, EVENT_RUN, "air", 0);
    say(teller, "%g C, %g hPa, %g %%", air->temperature_c, air->pressure_hpa,
        air->humidity_percent);
    if (isfinite(air->wind_m_per_s)) {
        say(teller, ", wind %g m/s", air->wind_m_per_s);
    }
}

static void tell_run(struct teller *teller)
{
    const struct session_record *record = teller->record;
    const struct run_record *run = &record->run[teller->index];
    int legs = 0, out = 0;
    for (int l = 0; l < record->leg_count; l++) {
        legs += record->leg[l].run == teller->index ? 1 : 0;
        out += record->leg[l].run == teller->index && record->leg[l].left_out ? 1 : 0;
    }
    say_what(teller, EVENT_RUN, "run", run->number);
    say(teller, "setup %d", record->setup[run->setup].number);
    if (run->file[0] != '\0') {
        say(teller, ": %s", run->file);
    }
    if (out > 0) {
        say(teller, "; %d of %d laps or legs left out", out, legs);
    }
    if (run->rejected) {
        say(teller, "; LEFT OUT: %s", run->reject_reason);
    }
}

static void tell_tie_reading(struct teller *teller)
{
    const struct session_record *record = teller->record;
    const struct tie_reading_record *first = &record->tie_reading[teller->index];
    const struct build_record *build = &record->build[first->build];
    bool plate = first->kind == TIE_READING_PLATE;
    char number[24];
    say_what(teller, EVENT_HEIGHT, word_of(&tie_reading_words, first->kind), 0);
    for (int i = teller->index; i < record->tie_reading_count; i++) {
        const struct tie_reading_record *reading = &record->tie_reading[i];
        if (reading->kind != first->kind || reading->build != first->build ||
            reading->at_sample != first->at_sample) {
            break;
        }
        text_from_double(number, sizeof number, reading->value_mm, 1);
        say(teller, "%s%s %s", i > teller->index ? ", " : "",
            record->placing[build->placing].channel[reading->channel].name, number);
    }
    say(teller, " mm%s, setup %d build %d", plate ? " away" : " over the bottom bracket",
        record->setup[build->setup].number, build->ordinal);
}

static void tell_check(struct teller *teller)
{
    const struct check_record *check = &teller->record->check[teller->index];
    say_what(teller, EVENT_CHECK, "check", 0);
    say(teller, "%s", word_of(&check_kind_words, check->kind));
    if (check->channel >= 0) {
        say(teller, " of %s", teller->record->placing[check->placing].channel[check->channel].name);
    }
    say(teller, " %s: %s", word_of(&check_verdict_words, check->verdict), check->words);
}

static void tell_note(struct teller *teller)
{
    say_what(teller, EVENT_NOTE, "note", 0);
    say(teller, "%s", teller->record->note[teller->index].text);
}

static void tell_choice(struct teller *teller)
{
    say_what(teller, EVENT_CHOICE, "chosen", 0);
    if (teller->index > 0) {
        say(teller, "setup %d: the rider goes home with it", teller->index);
    } else {
        say(teller, "no setup any more");
    }
}

static void tell(struct teller *teller)
{
    switch (teller->kind) {
    case EFFECT_RIDER:
    case EFFECT_BIKE:
        tell_person(teller);
        break;
    case EFFECT_PLACING:
        tell_placing(teller);
        break;
    case EFFECT_SETUP:
        tell_setup(teller);
        break;
    case EFFECT_BUILD:
        tell_build(teller);
        break;
    case EFFECT_TIE_READING:
        tell_tie_reading(teller);
        break;
    case EFFECT_TARGET:
        tell_target(teller);
        break;
    case EFFECT_BAND:
        tell_band(teller);
        break;
    case EFFECT_HOLD:
        tell_hold(teller);
        break;
    case EFFECT_MARK:
        tell_mark(teller);
        break;
    case EFFECT_RATING:
        tell_rating(teller);
        break;
    case EFFECT_NOTE:
        tell_note(teller);
        break;
    case EFFECT_AIR:
        tell_air(teller);
        break;
    case EFFECT_RUN:
        tell_run(teller);
        break;
    case EFFECT_CHECK:
        tell_check(teller);
        break;
    case EFFECT_SESSION:
        tell_choice(teller);
        break;
    case EFFECT_CAPTURE:
    case EFFECT_COMMAND:
    case EFFECT_CUE_SOUND:
    case EFFECT_LEG:
    case EFFECT_KINDS:
        break;
    }
}

void say_event(const struct session_record *record, const struct analysis *analysis,
               enum effect_kind kind, int index, struct event *event)
{
    struct teller teller = {
        .record = record, .analysis = analysis, .kind = kind, .index = index, .event = event};
    event->hold = 0;
    event->left_out = false;
    event->what[0] = event->text[0] = '\0';
    tell(&teller);
}

void say_event_taken_back(struct event *event)
{
    size_t used = strlen(event->text);
    event->hold = 0; /* there is no such hold any more */
    text_append(event->text, sizeof event->text, &used, "%sTAKEN BACK", used > 0 ? "; " : "");
}
