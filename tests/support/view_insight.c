/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What the made-up session says beside its comparison. */
#include "base/text.h"
#include "support/views.h"

void made_insight(struct view *view)
{
    struct insight_page *insight = &made_snapshot(view)->insight;
    text_copy(insight->criteria, sizeof insight->criteria,
              "height of head and chest, steadiness, effort");
    text_copy(insight->standing, sizeof insight->standing,
              "Setups 2 and 3: no other setup is shown to beat them.\n"
              "Setup 1: setup 2 is shown to be as good in all of it, and better in some.");
    insight->step_count = 2;
    insight->step[0] = (struct insight_step){
        .part = "spacers, mm", .low = 10, .high = 30, .each = {"+0.55 ±0.38", "+0.40 ±0.41"}};
    insight->step[1] = (struct insight_step){
        .part = "pad rise, mm", .low = 40, .high = 60, .each = {"+0.60 ±0.30", "+0.20 ±0.33"}};
    text_copy(insight->next, sizeof insight->next,
              "A suggestion, no more: from setup 3, pad rise 40 to 30 mm. Expected: head -6 mm "
              "(-9 to -3), chest -2 mm (-5 to +1).");
}
