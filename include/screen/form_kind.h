/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_FORM_KIND_H
#define HOLDLINE_SCREEN_FORM_KIND_H

#include "base/word_list.h"
#include "record/typed.h"
#include "screen/canvas.h"
#include "screen/form.h"

/* How many fields a row makes. */
enum form_each {
    FORM_ONE,
    FORM_CHANNELS,      /* one of each channel: rows that follow each other go channel by channel */
    FORM_BODY_CHANNELS, /* of the body's */
    FORM_BIKE_FRAME,    /* of each measure of the frame (bike/fields.h) */
    FORM_BIKE_PARTS,
    FORM_BIKE_NEEDED, /* of each that heights need, whatever it is of; label: heading over them */
    FORM_BIKE_OTHERS, /* of each that they don't; likewise */
    FORM_RATINGS,     /* of each of the rider's (record/rating.h) */
};

/* A field as its form's table has it. What is 0 or NULL it does not have. */
struct form_row {
    enum field_kind kind;
    const char *key, *label;           /* of a channel: before and after its name */
    const struct typed_number *number; /* of a number: its unit and limits */
    size_t kept;
    bool required, bare;
    enum form_each each;
    /* choices: none's words, then the list's, shown in other words where it has them */
    const char *none;
    const struct word_list *list;
    const char *const *shown; /* by place in the list */
};

/* A kind of form: its fields, and what it does. What is NULL it does not do. */
struct form_kind_row {
    const char *title, *explanation;
    const struct form_row *row;
    int rows;
    bool of_bike;    /* form.h */
    bool one_column; /* whatever room there is */
    bool sketch;     /* the bike is drawn beside its fields (form_sketch.h) */
    void (*fill)(struct form *form, const struct view *view);
    /* of one channel after the other, which its first field names: fills in what is of the channel.
     * 'fill' says which is the first (form->of). */
    void (*fill_channel)(struct form *form, const struct channel_record *channel);
    /* after a field has changed: what follows from it */
    void (*follow)(struct form *form, const struct view *view, int field);
    /* what is on the bike, where it is about that: what was typed of another is not offered */
    int (*about)(const struct snapshot *snapshot);
    const char *command; /* its line: all that is given; refused where nothing is */
    const char *refusal;
    bool (*lines)(struct form *form, const struct view *view); /* instead: makes them, or refuses */
    void (*draw_below)(struct canvas *canvas, struct form *form, const struct view *view, int row,
                       int rows);
};
#define FORM_ROWS(table) .row = table, .rows = (int)(sizeof table / sizeof table[0])
#define FORM_TYPED(which) .number = &typed_numbers[which]

/* The forms, by the file they stand in. */
extern const struct form_kind_row form_setup, form_correct, form_frame; /* form_setup.c */
extern const struct form_kind_row form_sensors, form_moved, form_slipped, form_plate, form_tape,
    form_target;                                                        /* form_sensors.c */
extern const struct form_kind_row form_check;                           /* form_check.c */
extern const struct form_kind_row form_band;                            /* form_band.c */
extern const struct form_kind_row form_rating, form_felt, form_morning; /* form_rating.c */
extern const struct form_kind_row form_rider, form_note, form_reject, form_settings, form_choose,
    form_export, form_minutes; /* form_session.c */
extern const struct form_kind_row form_course, form_air, form_ride, form_ride_out; /* form_drag.c */
extern const struct form_kind_row form_carry;                       /* form_carry.c */
extern const struct form_kind_row form_limits;                      /* form_limits.c */
extern const struct form_kind_row form_hold_free, form_hold_guided; /* form_hold.c */

/* ---- form_kind.c: the table of them ---- */
extern const struct form_kind_row *const form_kinds[FORMS];
/* The form that a next step opens, or -1. */
int form_of_next(enum view_next next);
/* With what was typed before: draft is one, of a form of channels CHANNELS_MAX. */
void form_open(struct form *form, enum form_kind kind, const struct view *view,
               struct form_draft *draft);
/* Without what was typed of it (of its channel). */
void form_begin_anew(struct form *form, const struct view *view);
/* What was typed is kept for the next time, but for what can't be right. */
void form_put_by(struct form *form);
void form_follow(struct form *form, const struct view *view, int field);
/* False with the problem where something can't be meant that way. */
bool form_make_lines(struct form *form, const struct view *view);
/* After its lines were taken: goes on to the next channel; false: it is done. One that has only
 * looked at something stays. */
bool form_advance(struct form *form, const struct view *view);

#endif
