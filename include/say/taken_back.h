/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SAY_TAKEN_BACK_H
#define HOLDLINE_SAY_TAKEN_BACK_H

#include "analysis/analysis.h"
#include "record/effect.h"

/* What is taken back, or put back again, in words. */

/* Which of the records that an act made or changed is told: the one of the higher rank. */
int say_back_rank(enum effect_kind kind, bool made);

/* A record that the act made, while it is still there: 'setup 3 (spacers out, pads down)'. */
void say_back_made(char *text, size_t size, const struct session_record *record,
                   const struct analysis *analysis, enum effect_kind kind, int index);
/* A record that it changed, and how it is to be, from and to: 'setup 2: spacers 10 to 30'. False
 * where there are no words for it but the line that made it. */
bool say_back_changed(char *text, size_t size, const struct session_record *record,
                      enum effect_kind kind, int index, const void *to);
/* What holds since, where a record of this kind has gone or come: '; setup 2, build 1 is on the
 * bike'. "" where that says nothing: a target or a band that was put back stands itself. */
void say_back_now(char *text, size_t size, const struct session_record *record,
                  enum effect_kind kind, bool put_back, int build, int target, int band);
/* The same of a target that was there before: '; it is captured on'. */
void say_back_target(char *text, size_t size, const struct target_record *target, bool goes_on);

#endif
