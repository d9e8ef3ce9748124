/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RECORD_EFFECT_H
#define HOLDLINE_RECORD_EFFECT_H

#include "record/stored.h"

/* What the session machine wants kept: one record that is new or has changed, by value, so that it
 * can cross a thread. Writing one twice changes nothing (records are known by their uuid or place).
 */
enum effect_kind {
    EFFECT_SESSION, /* the session row itself: uuid, start, seed, settings, ended */
    EFFECT_RIDER,
    EFFECT_BIKE,
    EFFECT_PLACING,
    EFFECT_SETUP,
    EFFECT_BUILD,
    EFFECT_TIE_READING,
    EFFECT_CAPTURE,
    EFFECT_TARGET,
    EFFECT_BAND,
    EFFECT_HOLD,
    EFFECT_MARK,
    EFFECT_RATING,
    EFFECT_NOTE,
    EFFECT_COMMAND,
    EFFECT_CHECK,
    EFFECT_CUE_SOUND,
    EFFECT_AIR,
    EFFECT_RUN,
    EFFECT_LEG,
    EFFECT_KINDS,
};

/* Where records of a kind are stored. */
enum stored_table_id effect_table(enum effect_kind kind);

struct effect {
    enum effect_kind kind;
    int index; /* place in session_record's array */
    union {
        struct session_header session;
        struct rider_record rider;
        struct bike_record bike;
        struct placing_record placing;
        struct setup_record setup;
        struct build_record build;
        struct tie_reading_record tie_reading;
        struct capture_record capture;
        struct target_record target;
        struct band_record band;
        struct hold_record hold;
        struct mark_record mark;
        struct rating_record rating;
        struct note_record note;
        struct command_record command;
        struct check_record check;
        struct cue_sound_record cue_sound;
        struct air_record air;
        struct run_record run;
        struct leg_record leg;
    } record;
};

typedef void effect_sink(void *context, const struct effect *effect);

#endif
