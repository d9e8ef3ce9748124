/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "acts.h"

#include "base/text.h"
#include "machine.h"

#include <stdlib.h>
#include <string.h>

/* The act that began what is in progress: found, and closed where that is over. */

/* -1: none. */
static int running(const struct acts *acts)
{
    int at = acts->count - 1;
    while (at >= 0 && !acts->act[at].running) {
        at--;
    }
    return at;
}

bool acts_undo_drops(const struct session *session)
{
    const struct acts *acts = session->acts;
    return session->begun && acts->count > 0 && acts->act[acts->count - 1].running;
}

void acts_open_running(struct session *session)
{
    struct acts *acts = session->acts;
    int at = running(acts);
    acts->open = at >= 0 ? &acts->act[at] : NULL;
}

/* The images of an act from one on as an act of their own; false without memory. */
static bool split_off(struct act *act, int from, struct act *rest)
{
    int count = act->image_count - from;
    rest->image = malloc((size_t)count * sizeof *rest->image);
    if (rest->image == NULL) {
        return false;
    }
    memcpy(rest->line, act->line, sizeof rest->line);
    memcpy(rest->image, &act->image[from], (size_t)count * sizeof *rest->image);
    rest->image_count = rest->image_room = count;
    act->image_count = from;
    return true;
}

static void move_to_the_top(struct acts *acts, int at)
{
    struct act moved = acts->act[at];
    memmove(&acts->act[at], &acts->act[at + 1],
            (size_t)(acts->count - 1 - at) * sizeof acts->act[0]);
    acts->act[acts->count - 1] = moved;
}

void acts_close_running(struct session *session, enum acts_end end)
{
    struct acts *acts = session->acts;
    int at = running(acts);
    acts->open = NULL;
    if (at < 0) {
        return;
    }
    struct act *act = &acts->act[at];
    act->running = false;
    if (end == ACTS_END_THERE && act->image_count > 0) {
        return;
    }
    if (end != ACTS_END_LAST) {
        acts_forget_undone(session);
    }
    /* a setup that it began with stays where it was done: others may rest on it since */
    struct act rest = {.running = false};
    if (act->at_start > 0 && act->image_count > act->at_start &&
        acts->count + acts->undone < ACTS_MAX && split_off(act, act->at_start, &rest)) {
        memmove(&acts->act[acts->count + 1], &acts->act[acts->count],
                (size_t)acts->undone * sizeof rest);
        acts->act[acts->count++] = rest;
        return;
    }
    move_to_the_top(acts, at);
    if (acts->act[acts->count - 1].image_count == 0) {
        acts_drop_last(acts);
    }
}

bool acts_close_countdown(struct session *session, struct act_countdown *countdown)
{
    struct acts *acts = session->acts;
    int at = running(acts);
    acts->open = NULL;
    if (at < 0 || acts->count >= ACTS_MAX) {
        return false;
    }
    acts_forget_undone(session);
    struct act *act = &acts->act[at];
    act->running = false;
    if (act->image_count == 0) {
        move_to_the_top(acts, at);
    } else if (at < acts->count - 1) { /* what it made stays where it was done */
        acts->count++;
        text_copy(acts->act[acts->count - 1].line, sizeof act->line, act->line);
    }
    acts->act[acts->count - 1].countdown = countdown;
    return true;
}
