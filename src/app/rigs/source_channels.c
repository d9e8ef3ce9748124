/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/source_channels.h"

#include "base/text.h"
#include "rig/dialect.h"

#define LIST_SIZE (CHANNELS_MAX * (CHANNEL_NAME_SIZE + 2))

bool source_channels_unnamed(const struct rig_info *info)
{
    bool unnamed = true;
    for (int c = 0; c < info->channel_count; c++) {
        char name[CHANNEL_NAME_SIZE];
        dialect_default_channel_name(name, c);
        unnamed = unnamed && text_equal(info->channel_name[c], name);
    }
    return unnamed;
}

bool source_channels_by_name(const struct placing_record *placing, const struct rig_info *info,
                             int of[CHANNELS_MAX])
{
    bool all = placing->channel_count == info->channel_count;
    for (int c = 0; all && c < placing->channel_count; c++) {
        int at = 0;
        while (at < info->channel_count &&
               !text_equal(info->channel_name[at], placing->channel[c].name)) {
            at++;
        }
        all = at < info->channel_count;
        of[c] = at;
    }
    return all;
}

static void list_channels(char *list, size_t size, const struct rig_info *info)
{
    size_t used = 0;
    text_copy(list, size, "");
    for (int c = 0; c < info->channel_count; c++) {
        text_append(list, size, &used, "%s%s", c > 0 ? ", " : "", info->channel_name[c]);
    }
}

bool source_channels_stay(const struct rig_info *first, const struct rig_info *now,
                          const char *stream, struct problem *problem)
{
    bool same = first->channel_count == now->channel_count;
    for (int c = 0; same && c < now->channel_count; c++) {
        same = text_equal(first->channel_name[c], now->channel_name[c]);
    }
    if (same || (first->channel_count == now->channel_count && source_channels_unnamed(first))) {
        return true;
    }
    char before[LIST_SIZE], since[LIST_SIZE];
    list_channels(before, sizeof before, first);
    list_channels(since, sizeof since, now);
    return problem_set(problem,
                       "'%s' has other channels (%s) from here on than it had before (%s): another "
                       "board, or another program on it? Nothing of them is taken",
                       stream, since, before);
}

bool source_channels_misfit(const struct placing_record *placing, const struct rig_info *info,
                            const char *stream, struct problem *problem)
{
    char here[LIST_SIZE] = "", there[LIST_SIZE];
    size_t used = 0;
    for (int c = 0; c < placing->channel_count; c++) {
        text_append(here, sizeof here, &used, "%s%s", c > 0 ? ", " : "", placing->channel[c].name);
    }
    list_channels(there, sizeof there, info);
    return problem_set(
        problem,
        source_channels_unnamed(info)
            ? "'%s' comes without its heading: nothing says which of its channels (%s) are this "
              "session's sensors (%s). Put the heading's line back at its beginning, or say it: "
              "columns= in a script, --columns"
            : "'%s' has other channels (%s) than this session's sensors (%s). Say which of its "
              "columns they are: columns= in a script, --columns; or is it another rig or "
              "recording?",
        stream, there, here);
}
