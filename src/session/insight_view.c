/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "insight_view.h"

#include "base/text.h"
#include "say/insight_words.h"

#include <stdio.h>
#include <string.h>

/* Sentences one below the other; one that does not fit as a whole is left out. */
struct lines {
    char *text;
    size_t size, used;
};

static void add_line(void *context, const char *sentence)
{
    struct lines *lines = context;
    if (lines->used + strlen(sentence) + 2 < lines->size) {
        text_append(lines->text, lines->size, &lines->used, "%s%s", lines->used > 0 ? "\n" : "",
                    sentence);
    }
}

static void fill_steps(const struct session *session, struct view_insight *to)
{
    const struct insight *insight = &session->analysis->insight;
    to->step_count = 0;
    for (int k = 0; k < insight->factor_count && insight_steps_known(session->analysis); k++) {
        enum bike_key key = insight->factor[k];
        if (!insight_was_tried(insight, k)) {
            continue;
        }
        struct view_step *step = &to->step[to->step_count++];
        snprintf(step->part, sizeof step->part, "%s, %s", bike_fields[key].words,
                 insight_per_unit(key));
        step->low = insight->tried_low[k];
        step->high = insight->tried_high[k];
        for (int c = 0; c < session->analysis->channel_count; c++) {
            step->each[c][0] = '\0';
            if (session->analysis->body[c]) {
                insight_step_words(step->each[c], sizeof step->each[c], &insight->steps[c], k);
            }
        }
    }
}

void insight_fill_view(struct session *session, struct view *view)
{
    if (view->event_serial == session->journal.serial) {
        return;
    }
    const struct session_record *record = &session->record;
    struct analysis *analysis = session->analysis;
    struct view_insight *to = &view->insight;
    struct lines standing = {to->standing, sizeof to->standing, 0};
    struct lines notes = {to->notes, sizeof to->notes, 0};
    struct lines next = {to->next, sizeof to->next, 0};
    to->standing[0] = to->notes[0] = to->next[0] = '\0';
    insight_make(record, analysis);
    insight_criteria(analysis, to->criteria, sizeof to->criteria);
    insight_say_standing(record, analysis, add_line, &standing);
    fill_steps(session, to);
    insight_say_too_many(&analysis->insight, add_line, &notes);
    insight_say_steps(analysis, add_line, &notes);
    if (to->step_count > 0) {
        int from = record->settings.chosen_setup > 0
                       ? session_record_setup(record, record->settings.chosen_setup)
                       : insight_suggest_from(record, analysis);
        insight_say_next(record, analysis, from, &record->limits, add_line, &next);
    }
}
