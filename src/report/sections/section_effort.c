/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What the holds were ridden at: power, cadence, heart rate, where they came on the wire. */
#include "base/text.h"
#include "report/digest.h"
#include "report/sections.h"
#include "rig/auxiliary.h"

#include <math.h>

static bool any_of(const struct report_input *input, int kind)
{
    for (int hold = 0; hold < input->record->hold_count; hold++) {
        if (isfinite(input->analysis->hold[hold].auxiliary_mean[kind])) {
            return true;
        }
    }
    return false;
}

static void effort_rows(struct table *table, const struct report_input *input,
                        const bool shown[AUXILIARIES])
{
    for (int hold = 0; hold < input->record->hold_count; hold++) {
        const struct hold_result *result = &input->analysis->hold[hold];
        const struct hold_record *recorded = &input->record->hold[hold];
        table_cell_format(table, "%d%s", recorded->number, result->counts ? "" : "*");
        table_cell_format(table, "%d", digest_setup_of_hold(input, hold)->number);
        table_cell(table, recorded->guided ? "guided" : "free");
        for (int kind = 0; kind < AUXILIARIES; kind++) {
            char number[32] = "-";
            if (!shown[kind]) {
                continue;
            }
            if (isfinite(result->auxiliary_mean[kind])) {
                say_number(number, sizeof number, result->auxiliary_mean[kind], 0);
            }
            table_cell_format(table, "%s%s", number, result->auxiliary_apart[kind] ? " !" : "");
        }
    }
}

bool section_effort(struct paper *paper, const struct report_input *input, struct problem *problem)
{
    struct table_column columns[3 + AUXILIARIES] = {
        {"hold", TABLE_LEFT, false}, {"setup", TABLE_LEFT, false}, {"kind", TABLE_LEFT, true}};
    char heading[AUXILIARIES][64];
    bool shown[AUXILIARIES], apart = false;
    int count = 3;
    for (int kind = 0; kind < AUXILIARIES; kind++) {
        shown[kind] = any_of(input, kind);
        if (shown[kind]) {
            snprintf(heading[kind], sizeof heading[kind], "%s\n%s", auxiliary_kinds[kind].words,
                     auxiliary_kinds[kind].unit);
            columns[count++] = (struct table_column){heading[kind], TABLE_RIGHT, false};
        }
    }
    if (count == 3) {
        return true;
    }
    struct table *table = table_create(columns, count);
    if (table != NULL) {
        effort_rows(table, input, shown);
    }
    for (int hold = 0; hold < input->record->hold_count; hold++) {
        for (int kind = 0; kind < AUXILIARIES; kind++) {
            apart = apart || input->analysis->hold[hold].auxiliary_apart[kind];
        }
    }
    paper_title(paper, "What the holds were ridden at");
    bool done = paper_table(paper, table, problem);
    if (apart) {
        paper_note(paper,
                   "! more than %.0f W or %.0f turns a minute from the middle of the holds it is "
                   "compared with: posture goes with effort",
                   auxiliary_apart_from(AUXILIARY_POWER), auxiliary_apart_from(AUXILIARY_CADENCE));
    }
    table_destroy(table);
    return done;
}
