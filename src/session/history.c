/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "session/view.h"

#include <string.h>

int view_history_count(const struct view_history *history)
{
    return history->steps < VIEW_HISTORY ? (int)history->steps : VIEW_HISTORY;
}

const struct view_point *view_history_back(const struct view_history *history, int channel,
                                           int back)
{
    return &history->point[(history->steps - 1 - back) % VIEW_HISTORY][channel];
}

void view_history_follow(struct view_history *to, const struct view_history *from)
{
    int64_t oldest = from->steps - view_history_count(from);
    int64_t step = to->steps <= from->steps && to->steps > oldest ? to->steps : oldest;
    for (; step < from->steps; step++) {
        memcpy(to->point[step % VIEW_HISTORY], from->point[step % VIEW_HISTORY],
               sizeof to->point[0]);
    }
    to->steps = from->steps;
}
