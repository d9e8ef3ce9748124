/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_LIVE_H
#define HOLDLINE_SESSION_LIVE_H

/* The live picture. */

#include "machine.h"

void live_start(struct session *session);
void live_sample(struct session *session, const struct sample *sample);

#endif
