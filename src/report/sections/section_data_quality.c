/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What was cut, missing, doubtful, rejected or kept afterwards: nothing is left out silently. */
#include "report/digest.h"
#include "report/sections.h"
#include "say/hold_quality.h"

bool section_data_quality(struct paper *paper, const struct report_input *input,
                          struct problem *problem)
{
    const struct session_record *record = input->record;
    char text[SAY_QUALITY_SIZE];
    int clean = 0;
    (void)problem;
    if (record->hold_count == 0) {
        return true;
    }
    paper_title(paper, "What was cut, missing or left out");
    for (int hold = 0; hold < record->hold_count; hold++) {
        say_hold_quality(text, record, input->analysis, hold);
        if (text[0] == '\0') {
            clean++;
            continue;
        }
        paper_item(paper, "hold %d (setup %d, %s): %s", record->hold[hold].number,
                   digest_setup_of_hold(input, hold)->number,
                   record->hold[hold].guided ? "guided" : "free", text);
    }
    if (clean > 0) {
        paper_item(paper, "%d %s: nothing cut or left out but single readings", clean,
                   clean == 1 ? "hold" : "holds");
    }
    for (int channel = 0; channel < input->analysis->channel_count; channel++) {
        say_channel_quality(text, sizeof text, record, input->analysis, channel);
        if (text[0] != '\0') {
            paper_item(paper, "%s", text);
        }
    }
    return true;
}
