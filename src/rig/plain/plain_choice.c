/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/text.h"
#include "plain_guess.h"
#include "plain_status.h"
#include "rig/auxiliary.h"
#include "rig/plain_columns.h"
#include "rig/plain_words.h"

#include <string.h>

/* What the person wants: NAME or CHANNEL=NAME, divided by commas. */
static bool choose_named(const struct chooser *chooser)
{
    struct span rest = {chooser->options->columns, strlen(chooser->options->columns)};
    struct span item;
    while (span_next_field(&rest, ',', &item)) {
        const char *equals = memchr(item.text, '=', item.length);
        struct span channel = {item.text, equals != NULL ? (size_t)(equals - item.text) : 0};
        struct span wanted = item;
        if (equals != NULL) {
            wanted.text = equals + 1;
            wanted.length = item.length - channel.length - 1;
        }
        wanted = span_trim(wanted);
        int index = plain_column_find(chooser->columns, wanted);
        if (index < 0) {
            return plain_no_such_column(chooser, wanted, "is not there");
        }
        const struct plain_column *column = &chooser->columns->column[index];
        if (!plain_holds_numbers(column) && (column->texts > 0 || column->calendars > 0)) {
            return plain_no_such_column(chooser, wanted, "holds no ranges");
        }
        if (chooser->layout->column_use[index] != PLAIN_PASSED_OVER) {
            return plain_no_such_column(chooser, wanted, "is named twice");
        }
        if (chooser->layout->channel_count == CHANNELS_MAX) {
            return problem_set(chooser->problem, "more than %d columns are wanted as channels",
                               CHANNELS_MAX);
        }
        plain_use_column(chooser, index, channel);
    }
    return true;
}

bool plain_columns_choose(const struct plain_columns *columns,
                          const struct decoder_options *options, struct plain_layout *layout,
                          struct rig_info *info, struct problem *problem)
{
    struct chooser chooser = {columns, options, layout, info, problem};
    bool named = options->columns[0] != '\0';
    layout->is_bare = true;
    if (layout->heading_length == 0) {
        plain_labels_learn(&layout->labels, columns);
    }
    layout->ends_bare = columns->trailed == 0;
    if (named && !choose_named(&chooser)) {
        return false;
    }
    if (!plain_guess_time(&chooser) || !plain_guess_statuses(&chooser)) {
        return false;
    }
    if (!named && !plain_guess_ranges(&chooser)) {
        return false;
    }
    plain_match_statuses(layout);
    plain_note_units(&chooser);
    for (int i = 0; i < columns->shape.columns; i++) {
        if (layout->column_use[i] != PLAIN_PASSED_OVER) {
            layout->last_used_column = i;
        }
        if (layout->column_use[i] >= 0 && layout->column_use[i] < CHANNELS_MAX) {
            layout->is_bare = layout->is_bare && columns->column[i].is_bare;
        }
    }
    return true;
}
