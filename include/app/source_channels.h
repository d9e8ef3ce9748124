/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_SOURCE_CHANNELS_H
#define HOLDLINE_APP_SOURCE_CHANNELS_H

#include "base/problem.h"
#include "record/record.h"
#include "rig/sample.h"

/* The channels of a source of readings against a session's sensors, where a session goes on with
 * another source than it began with. */

/* Nothing names them: they are called by their order. */
bool source_channels_unnamed(const struct rig_info *info);

/* Each of the session's channels has one of that name in the source, whose index is of[channel],
 * and there are no others. */
bool source_channels_by_name(const struct placing_record *placing, const struct rig_info *info,
                             int of[CHANNELS_MAX]);

/* Always false: says that they are others, or that nothing names them; stream: as it is called. */
bool source_channels_misfit(const struct placing_record *placing, const struct rig_info *info,
                            const char *stream, struct problem *problem);

/* False with a sentence where the source's channels are others, or in another order, than they were
 * at first: a later heading said so. Named now and not before is no change. */
bool source_channels_stay(const struct rig_info *first, const struct rig_info *now,
                          const char *stream, struct problem *problem);

#endif
