/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "next_inside.h"

#include "base/text.h"
#include "measure/rules.h"

#include <math.h>
#include <stdio.h>

struct next next_by_form(enum next_step step, enum view_next form, int a)
{
    return (struct next){.step = step, .a = a, .form = form};
}

struct next next_by_command(enum next_step step, const char *command)
{
    struct next next = {.step = step, .form = VIEW_NEXT_COMMAND};
    snprintf(next.command, sizeof next.command, "%s", command);
    return next;
}

struct next next_same_plate(enum next_step step, const struct tie_reading_record *before)
{
    struct next next = next_by_command(step, "");
    size_t used = 0;
    text_append(next.command, sizeof next.command, &used, "plate %gs", PLATE_S);
    if (before->rest == REST_PADS) { /* its height is as it was said before */
        text_append(next.command, sizeof next.command, &used, " rest=%s",
                    word_of(&plate_rest_words, REST_PADS));
    } else if (!isnan(before->plate_height_mm)) {
        text_append(next.command, sizeof next.command, &used, " height=%.1f",
                    before->plate_height_mm);
    }
    return next;
}

int next_scope_of(const struct session *session, enum next_step step)
{
    switch (next_step_scope(step)) {
    case NEXT_OF_BUILD:
        return session->build + 2;
    case NEXT_OF_CHOICE:
        return session->record.settings.chosen_setup + 1;
    case NEXT_OF_HOLD:
        return session->record.hold_count + 1;
    case NEXT_OF_SESSION:
    case NEXT_NEVER_PASSED:
        break;
    }
    return 1;
}

bool next_passed(const struct session *session, enum next_step step)
{
    return session->settings.passed[step] == next_scope_of(session, step);
}

bool next_has_band_suggested(const struct session *session)
{
    for (int c = 0; c < CHANNELS_MAX; c++) {
        for (int i = 0; i < session->proposal_count[c]; i++) {
            if (session->proposal[c][i].suggested) {
                return true;
            }
        }
    }
    return false;
}
