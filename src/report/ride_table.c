/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/ride_table.h"

#include "say/ride.h"
#include "say/say.h"

struct table *ride_table_create(void)
{
    static const struct table_column columns[] = {
        {"ride", TABLE_LEFT, false},         {"", TABLE_LEFT, false},
        {"1st quarter", TABLE_RIGHT, false}, {"2nd", TABLE_RIGHT, false},
        {"3rd", TABLE_RIGHT, false},         {"4th", TABLE_RIGHT, false},
        {"kept", TABLE_LEFT, true},          {"trend, mm", TABLE_LEFT, true},
    };
    return table_create(columns, sizeof columns / sizeof columns[0]);
}

void ride_table_add(struct table *table, const char *name, const struct ride_summary *ride)
{
    char text[2 * SAY_SIZE];
    for (int c = 0; c < ride->channel_count; c++) {
        const struct ride_part *part = &ride->channel[c];
        table_cell(table, c == 0 ? name : "");
        table_cell(table, part->name);
        for (int q = 0; q < RIDE_QUARTERS; q++) {
            say_ride_quarter(text, sizeof text, &part->quarter[q]);
            table_cell(table, text);
        }
        say_ride_kept(text, sizeof text, part);
        table_cell(table, text);
        say_ride_trend(text, sizeof text, part);
        table_cell(table, text);
    }
}

bool ride_table_end(struct paper *paper, struct table *table, struct problem *problem)
{
    bool done = true;
    if (table_rows(table) > 0 || table == NULL) {
        done = paper_table(paper, table, problem);
        paper_note(paper, "A quarter: how much of the time in the posture was in the band, and mm "
                          "from the target (+ is higher). Kept: until the band was lost, then mm "
                          "from the target. Sitting up is in none of it.");
    }
    table_destroy(table);
    return done;
}
