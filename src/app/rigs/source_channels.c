/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/source_channels.h"

#include "base/text.h"
#include "rig/dialect.h"

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

bool source_channels_misfit(const struct placing_record *placing, const struct rig_info *info,
                            const char *stream, struct problem *problem)
{
    char here[CHANNELS_MAX * (CHANNEL_NAME_SIZE + 2)] = "", there[sizeof here] = "";
    size_t used = 0;
    for (int c = 0; c < placing->channel_count; c++) {
        text_append(here, sizeof here, &used, "%s%s", c > 0 ? ", " : "", placing->channel[c].name);
    }
    used = 0;
    for (int c = 0; c < info->channel_count; c++) {
        text_append(there, sizeof there, &used, "%s%s", c > 0 ? ", " : "", info->channel_name[c]);
    }
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
