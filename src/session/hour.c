/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "hour.h"

static bool is_held(const struct session *session)
{
    for (int h = 0; h < session->record.hold_count; h++) {
        if (session->record.hold[h].build == session->build && !session->record.hold[h].guided) {
            return true;
        }
    }
    return false;
}

void hour_plan(struct session *session)
{
    if (session->build >= 0 && is_held(session)) {
        return;
    }
    struct plan_holds so_far = session->settings.hour.each;
    if (so_far.holds == 0) {
        so_far = plan_usual_holds();
    }
    plan_of_hour_choose(&session->record, session->analysis, session->build,
                        session->settings.minutes_planned - machine_now_s(session) / 60.0, &so_far,
                        &session->settings.hour);
}
