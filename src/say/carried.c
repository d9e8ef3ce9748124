/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/carried.h"

#include "base/text.h"

static bool has_reason(const struct session_record *record)
{
    for (int i = 0; i < record->hold_count; i++) {
        if (record->hold[i].reject_reason[0] != '\0') {
            return true;
        }
    }
    return false;
}

static const struct {
    unsigned carries;
    const char *words;
} things[] = {
    {CARRIES_CODE, "code"},
    {CARRIES_NAME, "name"},
    {CARRIES_WATCH_FOR, "old trouble to watch for"},
    {CARRIES_NOTES, "notes"},
    {CARRIES_REASONS, "why holds were left out"},
    {CARRIES_RATINGS, "ratings"},
};

unsigned carried_there(const struct session_record *record)
{
    const struct rider_record *rider = &record->rider;
    const struct {
        unsigned carries;
        bool is_there;
    } each[] = {
        {CARRIES_CODE, record->has_rider && rider->code[0] != '\0'},
        {CARRIES_NAME, record->has_rider && rider->name[0] != '\0'},
        {CARRIES_WATCH_FOR, record->has_rider && rider->watch_for[0] != '\0'},
        {CARRIES_NOTES, record->note_count > 0},
        {CARRIES_REASONS, has_reason(record)},
        {CARRIES_RATINGS, record->rating_count > 0},
    };
    unsigned there = 0;
    for (size_t i = 0; i < sizeof each / sizeof each[0]; i++) {
        there |= each[i].is_there ? each[i].carries : 0;
    }
    return there;
}

bool say_carried(char *text, size_t size, unsigned carries)
{
    size_t used = 0;
    text[0] = '\0';
    for (size_t i = 0; i < sizeof things / sizeof things[0]; i++) {
        if ((carries & things[i].carries) != 0) {
            text_append(text, size, &used, "%s%s", used == 0 ? "carries of the rider: " : ", ",
                        things[i].words);
        }
    }
    return used > 0;
}
