/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_TOLD_H
#define HOLDLINE_SESSION_TOLD_H

#include "machine.h"

/* What the rider is told by sounds, after the live picture of a sample is made: each sound is
 * recorded, and follows from samples and commands as all else. */
void told_sample(struct session *session);

#endif
