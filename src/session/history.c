/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "session/view.h"

int view_history_count(const struct view_history *history)
{
    return history->steps < VIEW_HISTORY ? (int)history->steps : VIEW_HISTORY;
}

const struct view_point *view_history_back(const struct view_history *history, int channel,
                                           int back)
{
    int at = (int)(history->steps % VIEW_HISTORY) - 1 - back;
    return &history->point[channel][at < 0 ? at + VIEW_HISTORY : at];
}

void view_history_follow(struct view_history *to, const struct view_history *from)
{
    int64_t oldest = from->steps - view_history_count(from);
    bool goes_on = to->redrawn == from->redrawn && to->steps > oldest;
    for (int64_t step = goes_on ? to->steps : oldest; step < from->steps; step++) {
        int at = (int)(step % VIEW_HISTORY);
        for (int c = 0; c < CHANNELS_MAX; c++) {
            to->point[c][at] = from->point[c][at];
        }
    }
    to->steps = from->steps;
    to->redrawn = from->redrawn;
}
