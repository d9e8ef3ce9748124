/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/views.h"

#include "base/text.h"

#include <stdio.h>
#include <string.h>

/* What a made-up session's journal has: the names and numbers are those of made_view. */

static void add(struct view *view, double at_s, enum event_kind kind, const char *what,
                const char *text)
{
    struct snapshot *snapshot = made_snapshot(view);
    struct event *event = &snapshot->event[snapshot->event_count++];
    memset(event, 0, sizeof *event);
    event->at_s = at_s;
    event->kind = kind;
    text_copy(event->what, sizeof event->what, what);
    text_copy(event->text, sizeof event->text, text);
}

static struct event *newest(struct view *view)
{
    struct snapshot *snapshot = made_snapshot(view);
    return &snapshot->event[snapshot->event_count - 1];
}

static void add_hold(struct view *view, double at_s, int number, const char *text, bool left_out)
{
    char what[16];
    snprintf(what, sizeof what, "hold %d", number);
    add(view, at_s, EVENT_HOLD, what, text);
    newest(view)->hold = number;
    newest(view)->left_out = left_out;
}

void made_events(struct view *view)
{
    made_snapshot(view)->event_count = 0;
    add(view, 0.0, EVENT_PEOPLE, "rider", "R-07  winter group");
    add(view, 0.5, EVENT_PEOPLE, "sensors", "head, chest of rig bench-a");
    add(view, 12.0, EVENT_SETUP, "setup 1", "as it came");
    add(view, 95.0, EVENT_CHECK, "check",
        "rider passed: the head follows the nod, the body is followed up and down; nothing "
        "follows the hands, no beam sees two things");
    add(view, 130.0, EVENT_HEIGHT, "plate", "head 412.4, chest 398.0 mm away, setup 1 build 1");
    add(view, 160.0, EVENT_TARGET, "target", "head 884 \u00B12, chest 771 \u00B12 mm");
    add(view, 230.0, EVENT_BAND, "band", "head +10 -20, chest +8 none mm");
    add_hold(view, 260.0, 1,
             "free 60 s, setup 1: head 898 \u00B12 (62% in band), chest 780 \u00B12", false);
    add(view, 288.0, EVENT_MARK, "mark", "drank, in hold 1");
    newest(view)->hold = 1;
    add_hold(view, 340.0, 2,
             "free 60 s, setup 1: head 899 \u00B12 (68% in band), chest 781 \u00B12", false);
    add_hold(view, 430.0, 3, "guided 60 s, setup 1: head 900 \u00B12 (74% in band)", false);
    add(view, 510.0, EVENT_RATING, "rating", "setup 1: effort 4, neck 2, sees ahead yes");
    add(view, 560.0, EVENT_SETUP, "setup 2", "pads down: pad rise 60 to 40");
    add_hold(view, 700.0, 4, "free 60 s, setup 2: head 892 \u00B12; LEFT OUT: looked up twice",
             true);
    add_hold(view, 790.0, 5,
             "free 60 s, setup 2: head 893 \u00B13 (86% in band), chest 775 \u00B13", false);
    add(view, 880.0, EVENT_NOTE, "note",
        "\u0645\u0631\u062D\u0628\u0627 \u6E2C\u8A66 e\u0301t\u00E9: saddle nose -5 was too far");
    add(view, 940.0, EVENT_SETUP, "setup 3",
        "spacers out, pads down: spacers 30 to 10, pad rise 60 to 40");
    add_hold(view, 3725.0, 6,
             "free 60 s, setup 3: head 875 \u00B13, chest 768 \u00B13; stopped early", false);
}
