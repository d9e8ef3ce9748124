/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_INSIGHT_VIEW_H
#define HOLDLINE_SESSION_INSIGHT_VIEW_H

#include "machine.h"
#include "session/view.h"

/* Makes the insight anew and fills view->insight, where something has happened since the view's
 * event_serial: to be called before the events are filled. A rating counts at once. */
void insight_fill_view(struct session *session, struct view *view);

#endif
