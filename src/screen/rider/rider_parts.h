/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_RIDER_PARTS_H
#define HOLDLINE_SCREEN_RIDER_PARTS_H

#include "screen/big_text.h"
#include "screen/page.h"

/* Parts of the rider's screen, each drawn where rider.c puts it. */

/* A scale upright as the body is: the band, where the body is, and from there the way back into
 * the band; below it which part of the body. */
void rider_scale(struct canvas *canvas, const struct view_channel *channel, const char *name,
                 const struct room *room);

/* What is asked, as a field of the cue's colour: part of the body ("" = none), shape, word. */
void rider_field(struct canvas *canvas, const char *name, enum cue_state cue,
                 const struct room *room);

#endif
