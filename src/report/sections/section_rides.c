/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Long rides: each in a line, and by its quarters. */
#include "report/ride_table.h"
#include "report/sections.h"
#include "say/ride.h"
#include "say/say.h"

bool section_rides(struct paper *paper, const struct report_input *input, struct problem *problem)
{
    struct table *table = ride_table_create();
    for (int hold = 0; hold < input->record->hold_count; hold++) {
        char name[SAY_SIZE], whole[SAY_SIZE];
        struct ride_summary ride;
        if (!ride_summary_of(input->record, input->analysis, hold, &ride)) {
            continue;
        }
        if (table_rows(table) == 0) {
            paper_title(paper, "Long rides");
        }
        snprintf(name, sizeof name, "hold %d", ride.hold);
        say_ride_whole(whole, sizeof whole, &ride);
        paper_item(paper, "%s: %s.", name, whole);
        ride_table_add(table, name, &ride);
    }
    return ride_table_end(paper, table, problem);
}
