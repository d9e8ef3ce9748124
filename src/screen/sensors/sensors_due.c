/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/sensors.h"

#include "rig/auxiliary.h"

#include <string.h>

/* Which checks were made, and which one comes next. */

const char *sensors_kind_words(enum check_kind kind)
{
    static const char *const words[CHECK_KINDS] = {
        [CHECK_STILL] = "still test",
        [CHECK_STEP] = "step",
        [CHECK_BEAM] = "beam",
        [CHECK_RIDER] = "rider test",
        [CHECK_CALIBRATION] = "calibration",
    };
    return words[kind];
}

bool sensors_is_range(const struct channel_record *channel)
{
    return channel->role != ROLE_AUXILIARY && auxiliary_of(channel->name) < 0;
}

int sensors_result(const struct view *view, enum check_kind kind, int channel)
{
    const struct session_record *record = &view->snapshot->record;
    for (int i = record->check_count - 1; i >= 0; i--) {
        const struct check_record *check = &record->check[i];
        if (check->placing == view->snapshot->placing && check->kind == kind &&
            check->channel == channel) {
            return i;
        }
    }
    return -1;
}

/* A step from before a calibration says nothing of the readings since. */
static bool is_made(const struct view *view, enum check_kind kind, int channel)
{
    int made = sensors_result(view, kind, channel);
    int line = sensors_result(view, CHECK_CALIBRATION, channel);
    bool outdated = kind == CHECK_STEP && line > made &&
                    view->snapshot->record.check[line].verdict == CHECK_PASSED;
    return made >= 0 && !outdated;
}

/* The latest went wrong: the same again, or what mends it. */
static bool due_again(const struct view *view, struct sensors_due *due)
{
    int latest[CHECK_LATEST_MAX];
    int count = check_latest(&view->snapshot->record, view->snapshot->placing, latest);
    if (count == 0) {
        return false;
    }
    const struct check_record *check = &view->snapshot->record.check[latest[count - 1]];
    due->kind = check_wants_calibration(check) ? CHECK_CALIBRATION : check->kind;
    due->channel = check->channel;
    return check->verdict != CHECK_PASSED;
}

bool sensors_check_due(const struct view *view, struct sensors_due *due)
{
    static const enum check_kind one_by_one[] = {CHECK_BEAM, CHECK_STEP};
    int index[CHANNELS_MAX], ranges = 0;
    if (due_again(view, due)) {
        return true;
    }
    due->channel = -1;
    due->kind = CHECK_RIDER;
    if (page_body_channels(view, index) > 0 && !is_made(view, CHECK_RIDER, -1)) {
        return true;
    }
    for (int k = 0; k < 2; k++) {
        for (int c = 0; c < view->channel_count; c++) {
            if (sensors_is_range(snapshot_channel(view->snapshot, c)) &&
                !is_made(view, one_by_one[k], c)) {
                *due = (struct sensors_due){one_by_one[k], c};
                return true;
            }
        }
    }
    bool still = is_made(view, CHECK_STILL, -1), still_of_each = true;
    for (int c = 0; c < view->channel_count; c++) {
        if (sensors_is_range(snapshot_channel(view->snapshot, c))) {
            ranges++;
            still_of_each = still_of_each && is_made(view, CHECK_STILL, c);
        }
    }
    *due = (struct sensors_due){CHECK_STILL, -1};
    return ranges > 0 && !still && !still_of_each;
}
