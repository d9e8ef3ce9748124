/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Where the first two channels were together: how much room the posture took. */
#include "measure/rules.h"
#include "report/digest.h"
#include "report/sections.h"

#include <math.h>

static const char *movement_words(double correlation)
{
    if (correlation >= TOGETHER_FROM) {
        return "up and down together";
    }
    return correlation <= -TOGETHER_FROM ? "one up, the other down" : "each by itself";
}

bool section_together(struct paper *paper, const struct report_input *input,
                      struct problem *problem)
{
    static const struct table_column columns[] = {
        {"setup", TABLE_LEFT, false},
        {"95 % of the time within\nmm", TABLE_LEFT, false},
        {"area\ncm²", TABLE_RIGHT, false},
        {"they moved", TABLE_LEFT, true},
    };
    const struct insight *insight = &input->analysis->insight;
    struct table *table = table_create(columns, 4);
    for (int s = 0; s < input->record->setup_count; s++) {
        const struct ellipse *ellipse = &insight->ellipse[s];
        char longer[64], shorter[64], area[64];
        if (!insight->together[s]) {
            continue;
        }
        say_whole(longer, sizeof longer, ceil(2.0 * ellipse->semi_major));
        say_whole(shorter, sizeof shorter, ceil(2.0 * ellipse->semi_minor));
        say_number(area, sizeof area, ellipse->area / 100.0, 1);
        table_cell_format(table, "%d", input->record->setup[s].number);
        table_cell_format(table, "%s by %s", longer, shorter);
        table_cell(table, area);
        table_cell(table, movement_words(ellipse->correlation));
    }
    bool done = true;
    if (table_rows(table) > 0 || table == NULL) {
        paper_title(paper, "Room the posture took");
        paper_paragraph(paper,
                        "The ellipse of %s against %s over the free holds of a setup: smaller is "
                        "quieter.",
                        input->analysis->channel_name[insight->y_channel],
                        input->analysis->channel_name[insight->x_channel]);
        done = paper_table(paper, table, problem);
    }
    table_destroy(table);
    return done;
}
