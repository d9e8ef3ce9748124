/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_COMMANDS_H
#define HOLDLINE_SESSION_COMMANDS_H

/* What a command does: one handler each, by the file it stands in. */

#include "machine.h"

typedef bool command_handler(struct session *session, const struct words *words,
                             struct problem *problem);

command_handler command_rig;                                 /* command_rig.c */
command_handler command_rider, command_bike, command_sensor; /* command_bike.c */
command_handler command_setup, command_build, command_correct, command_known, command_placing,
    command_limits, command_torque;                                          /* command_setup.c */
command_handler command_plate, command_tape, command_moved, command_slipped; /* command_tie.c */
command_handler command_check, command_calibrate;                            /* command_check.c */
command_handler command_target;                                              /* command_target.c */
command_handler command_band, command_cue;                                   /* command_band.c */
command_handler command_hold, command_guess, command_stop, command_keep,
    command_mark;                               /* command_hold.c */
command_handler command_practice, command_ride; /* command_practice.c */
command_handler command_sound;                  /* told.c */
command_handler command_pass;                   /* command_pass.c */
command_handler command_learnt;                 /* command_learnt.c */
command_handler command_reject, command_restore, command_rating, command_note, command_matters,
    command_baseline, command_choose, command_slope, command_minutes, command_resume,
    command_end; /* command_note.c */

command_handler command_remove, command_same, command_renumber,
    command_belongs;                                         /* command_setups.c */
command_handler command_mass, command_course, command_air;   /* command_day.c */
command_handler command_ridden, command_leg, command_pieces; /* command_drag.c */
command_handler command_undo, command_redo;                  /* command_undo.c */

/* ---- command_texts.c ---- */
/* False where a text is longer than its record keeps, with how long it may be. */
bool machine_texts_fit(const struct words *words, struct problem *problem);

/* ---- command_rig.c ---- */
/* A channel of which nothing was said but its name. */
void machine_default_channel(struct channel_record *channel, const char *name);
/* The usual delay of its cue. */
void machine_default_delay(struct session *session, int channel, const char *name);

/* ---- command_drag.c ---- */
/* 'reject run 3.2 "..."', 'restore run 3': of a run, or of one of its legs. */
bool machine_names_run(const struct words *words);
bool machine_reject_run(struct session *session, const struct words *words,
                        struct problem *problem);
bool machine_restore_run(struct session *session, const struct words *words,
                         struct problem *problem);

/* ---- command_day.c ---- */
/* What follows from the runs is made anew: no samples and no heights are in it. */
void machine_drag_changed(struct session *session);
/* at=14:05 as minutes after midnight; untouched where nothing is said. */
bool machine_read_clock(const struct words *words, double *at_min, struct problem *problem);
/* key=yes or key=no; left as it is where nothing is said. */
bool machine_read_yes(const struct words *words, const char *key, bool *yes,
                      struct problem *problem);
/* 'matters drag=0.005m2' */
bool machine_matters_drag(struct session *session, const struct words *words,
                          struct problem *problem);

/* ---- command_tie.c ---- */
/* The build that setup=N build=K name, the one on the bike where they don't, BUILD_TO_COME where
 * there is none yet; -1 with a problem. */
#define BUILD_TO_COME (-2)
int machine_build_named(struct session *session, const struct words *words,
                        struct problem *problem);
/* The same as a build that there is: with BUILD_TO_COME setup 1 begins, once nothing is left that
 * the line may be refused for. False with a problem. */
bool machine_build_made(struct session *session, int *build, struct problem *problem);
/* 'yes', 'no', or 'not_known', which takes an answer back; -1: none of them. */
int machine_answer(const char *text);
/* The answer behind moved= (NULL: it stays as it is); false, with the reason, where it is none. */
bool machine_read_moved(const char *text, enum answer *moved, struct problem *problem);

/* ---- command_setup.c ---- */
/* A build there must be: where none is, setup 1 begins. */
bool machine_ensure_build(struct session *session, struct problem *problem);

#endif
