/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SAY_DRAG_H
#define HOLDLINE_SAY_DRAG_H

#include "analysis/drag_height.h"

#include <stddef.h>

/* What a day of runs found, in words. Drag areas in m2 with four decimals where they are compared,
 * three where their level is told. Texts fit into SAY_SIZE bytes (base/numbers.h). */

/* 'lower by 0.0055 (0.0032 to 0.0078) m²'; 'cannot tell yet: -0.0030 (-0.0090 to 0.0030) m²; 2 more
 * runs of each'; 'too few to tell anything: 2 runs, 4 are needed' in the place of a number; "" for
 * the baseline and for a setup without runs. */
void say_drag_difference(char *text, size_t size, const struct drag_analysis *drag, int baseline,
                         int setup);
/* 'about 0.250 (0.238 to 0.262) m²'; 'too few ...' with few runs; "" without runs. */
void say_drag_level(char *text, size_t size, const struct drag_analysis *drag, int setup);
/* A difference in height beside one in drag, a number with the ends of its interval each: 'head -12
 * mm (-18 to -6) on the trainer, drag ... on the course.' */
void say_drag_beside_height(char *text, size_t size, const char *channel, const double mm[3],
                            const double m2[3]);
/* Why no setup has a line of its own (say_drag_line), as a sentence. */
const char *say_drag_why_none(const struct session_record *record,
                              const struct drag_analysis *drag);
/* What is in the number. */
void say_drag_wheels(char *text, size_t size);
/* What is missing before any run has a number, and what is to be done; "" for nothing. */
const char *say_drag_lack(enum drag_lack lack);
/* Why nothing is compared; "" for nothing. */
const char *say_drag_withheld(enum drag_withheld withheld);
/* Of a run, or of a leg: why it does not count; "" where it does. */
const char *say_drag_run_state(enum drag_run_state state);
const char *say_drag_leg_state(enum drag_leg_state state);
/* The same, with the fitter's reason where it was left out by hand. */
const char *say_drag_run_why(const struct session_record *record, const struct drag_analysis *drag,
                             int run);
const char *say_drag_leg_why(const struct session_record *record, const struct drag_analysis *drag,
                             int leg);
/* Power that may be lost for the difference of a setup and leave the speed: '5.1 W (2.9 to 7.2) at
 * 39 km/h'; "" where the verdict is neither lower nor higher. */
void say_drag_worth(char *text, size_t size, const struct session_record *record,
                    const struct drag_analysis *drag, int setup);
/* 'SD 0.0013 (0.0008 to 0.0031) m², 0.5 %, from run to run'; "" where nothing repeats. */
void say_drag_repeats(char *text, size_t size, const struct drag_analysis *drag);

/* 'for this rider, on these 5 setups, 10 mm of head went with 0.0026 m² (0.0008 to 0.0045):
 * association only'; "" without a slope. */
void say_drag_slope(char *text, size_t size, const struct drag_height *height, const char *channel);
/* The rider's one line: 'Drag on the course: setup 2 is lower by 0.0055 (0.0032 to 0.0078) m² than
 * setup 1: 4.5 W (2.6 to 6.4) less for the air at 40 km/h.'; "" where no run of it counts. */
void say_drag_line(char *text, size_t size, const struct session_record *record,
                   const struct drag_analysis *drag, int setup);

/* Sentences that stand with every result. */
extern const char say_drag_not_the_same[]; /* trainer and road are two measurements */
extern const char say_drag_level_apart[];  /* differences are known better than the level */
extern const char say_drag_never_alone[];  /* power, heart and effort belong beside it */
extern const char say_drag_method[];       /* how drag is worked out */
extern const char say_drag_method_pairs[]; /* and the wind: out and back, */
extern const char say_drag_method_laps[];  /* and on laps */
#define SAY_DRAG_CAUTIONS 4
extern const char *const say_drag_cautions[SAY_DRAG_CAUTIONS];

#endif
