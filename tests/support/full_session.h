/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_FULL_SESSION_H
#define HOLDLINE_TESTS_SUPPORT_FULL_SESSION_H

#include "record/effect.h"

/* A session in which every field of every kind of record has a value of its own, some not given, so
 * that a column left out or exchanged shows. seed makes another rider, other identifiers, other
 * numbers. The caller frees it. */
struct session_record *full_session(unsigned seed);

/* The same as the effects a session machine would give, parents first: `commands` commands at the
 * end. */
void full_session_effects(const struct session_record *record, int commands, effect_sink *sink,
                          void *context);
void full_session_command(int ordinal, struct command_record *command);

/* Sample `number` of a made-up stream of `channels` channels at rate_hz: all qualities, gaps and
 * losses come in it. */
void full_session_sample(int64_t number, int channels, double rate_hz, struct sample *sample);

#endif
