/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_BANDS_PROPOSED_H
#define HOLDLINE_SESSION_BANDS_PROPOSED_H

#include "machine.h"

/* Bands proposed from the latest target that was captured and kept (measure/band.h): anew whenever
 * that target, its heights or the delays of cues are others. */
void bands_propose(struct session *session);

#endif
