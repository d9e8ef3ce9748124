/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Which setups no other beats, and how far the heights followed the parts. */
#include "base/text.h"
#include "report/digest.h"
#include "report/sections.h"
#include "say/insight_words.h"

#define CHANNELS_A_TABLE 3 /* more do not fit beside each other in 80 cells */

/* ---- the trade-off ------------------------------------------------------------------------------
 */

static void paragraph(void *context, const char *sentence)
{
    paper_paragraph(context, "%s", sentence);
}

static void item(void *context, const char *sentence)
{
    paper_item(context, "%s", sentence);
}

static void tradeoff_section(struct paper *paper, const struct report_input *input)
{
    char criteria[SAY_SIZE];
    if (input->analysis->insight.tradeoff_setups < 2) {
        return;
    }
    insight_criteria(input->analysis, criteria, sizeof criteria);
    paper_title(paper, "Everything at once");
    paper_paragraph(paper,
                    "Looked at together: %s, and seeing ahead, on the numbers as they stand here. "
                    "Which of them counts most is for rider and fitter to say: there is no single "
                    "score.",
                    criteria);
    insight_say_standing(input->record, input->analysis, item, paper);
    if (insight_uneven(input->record, input->analysis)) {
        paper_note(paper, "What only one of two setups has (a rating, a guided hold) decides "
                          "nothing between them.");
    }
}

/* ---- steps per change ---------------------------------------------------------------------------
 */

static bool steps_table(struct paper *paper, const struct report_input *input, const int *channels,
                        int channel_count, struct problem *problem)
{
    const struct analysis *analysis = input->analysis;
    const struct insight *insight = &analysis->insight;
    struct table_column columns[2 + CHANNELS_A_TABLE];
    char headings[CHANNELS_A_TABLE][CHANNEL_NAME_SIZE + 16];
    int count = 0;
    columns[count++] = (struct table_column){"part", TABLE_LEFT, true};
    columns[count++] = (struct table_column){"tried", TABLE_LEFT, false};
    for (int i = 0; i < channel_count; i++) {
        snprintf(headings[i], sizeof headings[i], "%s\nmm for each",
                 analysis->channel_name[channels[i]]);
        columns[count++] = (struct table_column){headings[i], TABLE_LEFT, false};
    }
    struct table *table = table_create(columns, count);
    for (int k = 0; k < insight->factor_count; k++) {
        enum bike_key key = insight->factor[k];
        char low[32], high[32];
        if (!insight_was_tried(insight, k)) {
            continue;
        }
        text_from_double_shortest(low, sizeof low, insight->tried_low[k]);
        text_from_double_shortest(high, sizeof high, insight->tried_high[k]);
        table_cell_format(table, "%s, %s", bike_fields[key].words, insight_per_unit(key));
        table_cell_format(table, "%s to %s", low, high);
        for (int i = 0; i < channel_count; i++) {
            char step[64];
            insight_step_words(step, sizeof step, &insight->steps[channels[i]], k);
            table_cell(table, step);
        }
    }
    bool done = paper_table(paper, table, problem);
    table_destroy(table);
    return done;
}

static bool steps_tables(struct paper *paper, const struct report_input *input,
                         struct problem *problem)
{
    int channels[CHANNELS_MAX], count = 0;
    for (int c = 0; c < input->analysis->channel_count; c++) {
        if (input->analysis->body[c]) {
            channels[count++] = c;
        }
    }
    for (int from = 0; from < count; from += CHANNELS_A_TABLE) {
        int here = count - from < CHANNELS_A_TABLE ? count - from : CHANNELS_A_TABLE;
        if (!steps_table(paper, input, channels + from, here, problem)) {
            return false;
        }
    }
    return true;
}

/* ---- the next setup -----------------------------------------------------------------------------
 */

int section_next_from(const struct report_input *input)
{
    int chosen = digest_chosen(input);
    return chosen >= 0 ? chosen : insight_suggest_from(input->record, input->analysis);
}

static bool steps_section(struct paper *paper, const struct report_input *input,
                          struct problem *problem)
{
    const struct insight *insight = &input->analysis->insight;
    if (insight->factors_too_many > 0) {
        paper_title(paper, "What followed from the parts");
        insight_say_too_many(insight, paragraph, paper);
        return true;
    }
    bool tried = false;
    for (int k = 0; k < insight->factor_count; k++) {
        tried = tried || insight_was_tried(insight, k);
    }
    if (!tried || !insight_steps_known(input->analysis)) {
        return true;
    }
    paper_title(paper, "What followed from the parts");
    paper_paragraph(paper, "How far the heights of free holds moved with each millimetre or degree "
                           "of a part, over these setups. Within this session only; ± 95 %%.");
    if (!steps_tables(paper, input, problem)) {
        return false;
    }
    struct bike_limits limits = digest_limits(input);
    insight_say_steps(input->analysis, item, paper);
    insight_say_next(input->record, input->analysis, section_next_from(input), &limits, item,
                     paper);
    return true;
}

bool section_insight(struct paper *paper, const struct report_input *input, struct problem *problem)
{
    tradeoff_section(paper, input);
    return steps_section(paper, input, problem);
}
