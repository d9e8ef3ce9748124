/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/taken_back.h"

#include "say/event.h"

#include "base/text.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* What is taken back, from what it was made of. */

#define MOST_CELLS 90 /* of what is told of a record */

int say_back_rank(enum effect_kind kind, bool made)
{
    static const int ranks[EFFECT_KINDS] = {
        [EFFECT_HOLD] = 20,        [EFFECT_TARGET] = 19,   [EFFECT_CHECK] = 18,
        [EFFECT_TIE_READING] = 17, [EFFECT_SETUP] = 16,    [EFFECT_BUILD] = 15,
        [EFFECT_BAND] = 14,        [EFFECT_RATING] = 13,   [EFFECT_MARK] = 12,
        [EFFECT_NOTE] = 11,        [EFFECT_RIDER] = 10,    [EFFECT_BIKE] = 9,
        [EFFECT_PLACING] = 8,      [EFFECT_SESSION] = 7,   [EFFECT_CAPTURE] = 1,
        [EFFECT_COMMAND] = 0,      [EFFECT_CUE_SOUND] = 0, [EFFECT_RUN] = 21,
        [EFFECT_AIR] = 6,          [EFFECT_LEG] = 5,
    };
    return ranks[kind] + (made ? 100 : 0);
}

/* Cut after a whole letter. */
static void shorten(char *text, size_t most)
{
    if (strlen(text) > most) {
        while (most > 0 && ((unsigned char)text[most] & 0xC0) == 0x80) {
            most--;
        }
        memcpy(text + most, "\u2026", sizeof "\u2026");
    }
}

void say_back_made(char *text, size_t size, const struct session_record *record,
                   const struct analysis *analysis, enum effect_kind kind, int index)
{
    struct event event;
    if (kind == EFFECT_CAPTURE) {
        snprintf(text, size, "what was being read");
        return;
    }
    say_event(record, analysis, kind, index, &event);
    char told[sizeof event.text];
    text_clean(told, sizeof told, event.text); /* of a part that is empty a blank is left */
    shorten(told, MOST_CELLS);
    bool named = told[0] != '\0';
    snprintf(text, size, "%s%s%s%s", event.what, named ? " (" : "", told, named ? ")" : "");
}

static const char *answer_of(enum answer answer)
{
    const char *word = word_of(&answer_words, (int)answer);
    return word != NULL ? word : "not known";
}

static bool say_build(char *text, size_t size, const struct session_record *record,
                      const struct build_record *now, const struct build_record *to)
{
    int number = record->setup[now->setup].number;
    if (now->setup != to->setup) {
        snprintf(text, size, "setup %d, build %d is setup %d, build %d", number, now->ordinal,
                 record->setup[to->setup].number, to->ordinal);
        return true;
    }
    if (now->moved != to->moved) {
        snprintf(text, size, "whether a sensor moved at setup %d, build %d: %s to %s", number,
                 now->ordinal, answer_of(now->moved), answer_of(to->moved));
        return true;
    }
    snprintf(text, size, "whether a sensor slipped before setup %d, build %d: %s to %s", number,
             now->ordinal, answer_of(now->slipped), answer_of(to->slipped));
    return now->slipped != to->slipped;
}

static bool say_setup(char *text, size_t size, const struct setup_record *now,
                      const struct setup_record *to)
{
    char changes[TEXT_SIZE];
    if (now->number != to->number) {
        snprintf(text, size, "setup %d is number %d", now->number, to->number);
        return true;
    }
    bike_changes_text(changes, sizeof changes, &now->bike, &to->bike);
    snprintf(text, size, "setup %d: %s", now->number, changes);
    if (strcmp(now->intent, to->intent) != 0) {
        snprintf(text, size, "setup %d: '%.80s' to '%.80s'", now->number, now->intent, to->intent);
    }
    return true;
}

static bool is_other(double a, double b)
{
    return a != b && !(isnan(a) && isnan(b));
}

/* What a day of runs was said to be like. */
static bool say_drag(char *text, size_t size, const struct drag_settings *now,
                     const struct drag_settings *to)
{
    if (is_other(now->mass_kg, to->mass_kg)) {
        snprintf(text, size, "the mass of rider and bike, %g kg", now->mass_kg);
        return true;
    }
    if (is_other(now->matters_m2, to->matters_m2)) {
        snprintf(text, size, "the difference in drag that matters, %g m2", now->matters_m2);
        return true;
    }
    bool course = now->course != to->course || now->indoors != to->indoors ||
                  is_other(now->course_length_m, to->course_length_m) ||
                  is_other(now->rise_m, to->rise_m) || is_other(now->rolling, to->rolling);
    snprintf(text, size, "what was said of the course");
    return course;
}

static bool say_header(char *text, size_t size, const struct session_record *record,
                       const struct session_header *to)
{
    int from = record->settings.chosen_setup, chosen = to->settings.chosen_setup;
    if (from == chosen && !text_equal(record->settings.found_by, to->settings.found_by)) {
        snprintf(text, size, "what tells the rider of the chosen posture");
        return true;
    }
    if (from == chosen) {
        return say_drag(text, size, &record->drag, &to->drag);
    }
    if (chosen > 0) {
        snprintf(text, size, "the choice: setup %d is chosen", chosen);
    } else {
        snprintf(text, size, "the choice of setup %d: none is chosen", from);
    }
    return true;
}

static bool say_hold(char *text, size_t size, const struct hold_record *now,
                     const struct hold_record *to)
{
    if (now->rejected != to->rejected) {
        snprintf(text, size, "hold %d %s", now->number,
                 to->rejected ? "is left out again" : "counts again");
        return true;
    }
    if (now->status != to->status) {
        snprintf(text, size, "the stop: hold %d %s", now->number,
                 to->status == HOLD_RUNNING ? "goes on" : "is stopped");
        return true;
    }
    return false;
}

static bool say_run(char *text, size_t size, const struct run_record *now,
                    const struct run_record *to)
{
    snprintf(text, size, "run %d %s", now->number,
             to->rejected ? "is left out again" : "counts again");
    return now->rejected != to->rejected;
}

static bool say_leg(char *text, size_t size, const struct session_record *record,
                    const struct leg_record *now, const struct leg_record *to)
{
    snprintf(text, size, "run %d.%d %s", record->run[now->run].number, now->number,
             to->left_out ? "is left out again" : "counts again");
    return now->left_out != to->left_out;
}

bool say_back_changed(char *text, size_t size, const struct session_record *record,
                      enum effect_kind kind, int index, const void *to)
{
    switch (kind) {
    case EFFECT_BUILD:
        return say_build(text, size, record, &record->build[index], to);
    case EFFECT_SETUP:
        return say_setup(text, size, &record->setup[index], to);
    case EFFECT_HOLD:
        return say_hold(text, size, &record->hold[index], to);
    case EFFECT_RUN:
        return say_run(text, size, &record->run[index], to);
    case EFFECT_LEG:
        return say_leg(text, size, record, &record->leg[index], to);
    case EFFECT_SESSION:
        return say_header(text, size, record, to);
    default:
        return false;
    }
}

void say_back_now(char *text, size_t size, const struct session_record *record,
                  enum effect_kind kind, bool put_back, int build, int target, int band)
{
    text[0] = '\0';
    if ((kind == EFFECT_SETUP || kind == EFFECT_BUILD || kind == EFFECT_PLACING) && build >= 0) {
        const struct build_record *now = &record->build[build];
        snprintf(text, size, "; setup %d, build %d is on the bike",
                 record->setup[now->setup].number, now->ordinal);
    } else if (kind == EFFECT_TARGET && !put_back) {
        snprintf(text, size, "; %s",
                 target >= 0 ? "the target before stands" : "there is no target");
    } else if (kind == EFFECT_BAND && !put_back) {
        snprintf(text, size, "; %s", band >= 0 ? "the band before stands" : "there is no band");
    }
}

void say_back_target(char *text, size_t size, const struct target_record *target, bool goes_on)
{
    snprintf(text, size, "; the target is %s",
             goes_on        ? "captured on"
             : target->kept ? "kept"
                            : "thrown away");
}
