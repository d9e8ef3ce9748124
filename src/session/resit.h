/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_RESIT_H
#define HOLDLINE_SESSION_RESIT_H

#include "machine.h"

/* Whether the rider sat up between two free holds of a build and down again: two holds without that
 * are one hold. Seen as the body coming up by over RESIT_UP_MM for RESIT_UP_S on any channel, in
 * the samples between the holds. Where those are few, the sensors see nothing, or something else is
 * done with them, nothing is said. */

/* A free hold has just ended. */
void resit_begin(struct session *session);
/* One more sample, while no hold is being recorded. */
void resit_sample(struct session *session, const struct sample *sample);
/* As the next free hold of the build begins. */
enum resit resit_found(const struct session *session);
/* Was the rider up since a sample, from where the body was held from the first to that one? Unknown
 * where nothing tells: too little was held, or the body was not seen since. */
enum resit resit_since(struct session *session, int build, int64_t first, int64_t sample);
/* There was a hold before on this build, and the rider has not been seen to sit up since. */
bool resit_is_due(const struct session *session);

#endif
