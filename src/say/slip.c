/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/slip.h"

#include "analysis/far_level.h"
#include "base/text.h"
#include "say/say.h"

#include <math.h>
#include <stdio.h>

void say_slip(char *text, size_t size, const struct session_record *record,
              const struct analysis *analysis)
{
    int channel = slip_unanswered(record, analysis);
    char apart[24];
    text[0] = '\0';
    if (channel < 0) {
        return;
    }
    const struct slip *slip = &analysis->slip[channel];
    const struct build_record *earlier = &record->build[slip->earlier],
                              *later = &record->build[slip->later];
    say_number(apart, sizeof apart, fabs(slip->apart_mm), 0);
    snprintf(text, size, "%s: setup %d, build %d is %s mm %s than build %d%s: sensor or rider?",
             analysis->channel_name[channel], record->setup[later->setup].number, later->ordinal,
             apart, slip->apart_mm < 0.0 ? "lower" : "higher", earlier->ordinal,
             slip->beside ? ", and nothing else moved" : "");
}

void say_step_open(char *text, size_t size, const struct analysis *analysis, int channel)
{
    snprintf(text, size,
             "%s: its sensor moved within hold %d: leave that hold out, or read the plate on the "
             "next build.",
             analysis->channel_name[channel], analysis->step_open[channel]);
}

const char *say_slipped(enum answer slipped)
{
    return slipped == ANSWER_NO
               ? "no sensor slipped: the rider sat differently, and that counts as it is"
               : "a sensor slipped: builds since are not tied; read the plate (p) on each";
}

void say_far_level(char *text, size_t size, const struct session_record *record,
                   const struct analysis *analysis, int hold, int channel)
{
    struct far_level far;
    char parts[SAY_SIZE] = "same parts";
    text_copy(text, size, "");
    if (!far_level_of(record, analysis, hold, channel, &far)) {
        return;
    }
    const char *way = far.by_mm > 0.0 ? "higher" : "lower";
    if (far.exchanged >= 0) {
        snprintf(text, size,
                 "%s %.0f mm %s than hold %d, and %s reads what it read then: have the two cables "
                 "changed places?",
                 analysis->channel_name[channel], fabs(far.by_mm), way,
                 record->hold[far.before].number, analysis->channel_name[far.exchanged]);
        return;
    }
    if (far.parts_mm > 0.0) {
        snprintf(parts, sizeof parts, "parts moved %.0f", far.parts_mm);
    }
    snprintf(text, size,
             "%s %.0f mm %s than hold %d, %s: is the rider in its beam, its cable right?",
             analysis->channel_name[channel], fabs(far.by_mm), way, record->hold[far.before].number,
             parts);
}
