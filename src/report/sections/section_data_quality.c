/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What was cut, missing, doubtful, rejected or kept afterwards: nothing is left out silently. */
#include "base/text.h"
#include "report/digest.h"
#include "report/sections.h"
#include "say/hold_quality.h"

/* '1 in hold 2, 6 in hold 5' of those that lost samples and have no other fault; how many. */
static int lost_list(const struct report_input *input, char *text, size_t size)
{
    size_t used = 0;
    int count = 0;
    text_copy(text, size, "");
    for (int hold = 0; hold < input->record->hold_count; hold++) {
        if (say_hold_only_lost(input->record, input->analysis, hold)) {
            count++;
            text_append(text, size, &used, "%s%llu in hold %d", used > 0 ? ", " : "",
                        (unsigned long long)input->analysis->hold[hold].lost,
                        input->record->hold[hold].number);
        }
    }
    return count;
}

bool section_data_quality(struct paper *paper, const struct report_input *input,
                          struct problem *problem)
{
    const struct session_record *record = input->record;
    char text[SAY_QUALITY_SIZE], lost[SAY_QUALITY_SIZE];
    int clean = 0;
    (void)problem;
    if (record->hold_count == 0) {
        return true;
    }
    paper_title(paper, "What was cut, missing or left out");
    bool together = lost_list(input, lost, sizeof lost) > 1;
    for (int hold = 0; hold < record->hold_count; hold++) {
        say_hold_quality(text, record, input->analysis, hold);
        clean += text[0] == '\0' ? 1 : 0;
        if (text[0] != '\0' && !(together && say_hold_only_lost(record, input->analysis, hold))) {
            paper_item(paper, "hold %d (setup %d, %s): %s", record->hold[hold].number,
                       digest_setup_of_hold(input, hold)->number,
                       record->hold[hold].guided ? "guided" : "free", text);
        }
    }
    if (together) {
        paper_item(paper, "samples lost on the way, and nothing else: %s", lost);
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
