/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/insight_words.h"

#include "analysis/analysis.h"
#include "base/text.h"

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
    const char *between = lines->used > 0 ? "\n" : "";
    if (lines->used + strlen(between) + strlen(sentence) < lines->size) {
        text_append(lines->text, lines->size, &lines->used, "%s%s", between, sentence);
    }
}

static void fill_steps(const struct analysis *analysis, struct insight_page *page)
{
    const struct insight *insight = &analysis->insight;
    page->step_count = 0;
    for (int k = 0; k < insight->factor_count && insight_steps_known(analysis); k++) {
        enum bike_key key = insight->factor[k];
        if (!insight_was_tried(insight, k)) {
            continue;
        }
        struct insight_step *step = &page->step[page->step_count++];
        snprintf(step->part, sizeof step->part, "%s, %s", bike_fields[key].words,
                 insight_per_unit(key));
        step->low = insight->tried_low[k];
        step->high = insight->tried_high[k];
        for (int c = 0; c < analysis->channel_count; c++) {
            step->each[c][0] = '\0';
            if (analysis->body[c]) {
                insight_step_words(step->each[c], sizeof step->each[c], &insight->steps[c], k);
            }
        }
    }
}

void insight_page_make(const struct session_record *record, const struct analysis *analysis,
                       struct insight_page *page)
{
    struct lines standing = {page->standing, sizeof page->standing, 0};
    struct lines notes = {page->notes, sizeof page->notes, 0};
    struct lines next = {page->next, sizeof page->next, 0};
    page->standing[0] = page->notes[0] = page->next[0] = '\0';
    insight_criteria(analysis, page->criteria, sizeof page->criteria);
    insight_say_standing(record, analysis, add_line, &standing);
    fill_steps(analysis, page);
    insight_say_too_many(&analysis->insight, add_line, &notes);
    insight_say_steps(analysis, add_line, &notes);
    if (page->step_count > 0) {
        int from = record->settings.chosen_setup > 0
                       ? session_record_setup(record, record->settings.chosen_setup)
                       : insight_suggest_from(record, analysis);
        insight_say_next(record, analysis, from, &record->limits, add_line, &next);
    }
}
