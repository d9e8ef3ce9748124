/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* For each hold and channel: how many readings there were, and what of them was not used. */
#include "base/text.h"
#include "report/digest.h"
#include "report/sections.h"

#include <math.h>

static void number_cell(struct table *table, bool there, double value, int decimals)
{
    char text[64];
    say_number(text, sizeof text, there ? value : (double)NAN, decimals);
    table_cell(table, text);
}

static void row(struct table *table, const struct report_input *input, int hold, int channel,
                const char *name)
{
    const struct hold_result *result = &input->analysis->hold[hold];
    const struct hold_summary *summary = &result->summary[channel];
    const struct hold_health *health = &result->health;
    bool ok = summary->status == MEASURE_OK;
    table_cell_format(table, "%d", input->record->hold[hold].number);
    table_cell(table, name);
    table_cell_format(table, "%zu", summary->readings);
    table_cell_format(table, "%llu", (unsigned long long)result->lost);
    number_cell(table, health->known, (double)health->channel[channel].missing, 0);
    number_cell(table, health->known, (double)health->channel[channel].doubtful, 0);
    table_cell_format(table, "%zu", summary->outliers);
    number_cell(table, health->known, health->channel[channel].noise_mm, 1);
    number_cell(table, ok, summary->longest_gap_s, 2);
    number_cell(table, ok, summary->cut_start_s, 1);
    number_cell(table, ok, summary->cut_marked_s, 1);
}

bool section_readings(struct paper *paper, const struct report_input *input,
                      struct problem *problem)
{
    static const struct table_column columns[] = {
        {"hold", TABLE_LEFT, false},          {"channel", TABLE_LEFT, true},
        {"readings", TABLE_RIGHT, false},     {"lost", TABLE_RIGHT, false},
        {"miss-\ning", TABLE_RIGHT, false},   {"doubt-\nful", TABLE_RIGHT, false},
        {"out-\nliers", TABLE_RIGHT, false},  {"noise\nmm", TABLE_RIGHT, false},
        {"gap\ns", TABLE_RIGHT, false},       {"start\ncut s", TABLE_RIGHT, false},
        {"marks\ncut s", TABLE_RIGHT, false},
    };
    struct table *table = table_create(columns, 11);
    for (int hold = 0; hold < input->record->hold_count; hold++) {
        const struct placing_record *placing =
            digest_placing(input, input->record->hold[hold].build);
        for (int channel = 0; placing != NULL && channel < placing->channel_count; channel++) {
            if (input->analysis->hold[hold].has[channel]) {
                row(table, input, hold, channel, placing->channel[channel].name);
            }
        }
    }
    bool done = true;
    if (table_rows(table) > 0 || table == NULL) {
        paper_title(paper, "Readings that were not used");
        paper_paragraph(
            paper,
            "Lost: samples that never came, by the rig's own count. Outliers by the Hampel rule. "
            "Noise: what the sensor itself adds. Gap: the longest without a good reading.");
        done = paper_table(paper, table, problem);
    }
    table_destroy(table);
    return done;
}
