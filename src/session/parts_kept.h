/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_PARTS_KEPT_H
#define HOLDLINE_SESSION_PARTS_KEPT_H

#include "machine.h"

/* A value of a part was put right: from the one in former to the one in now. Names the setups that
 * still have the former one, as a sentence of which each setup is told once: 'setup 2 keeps stem
 * angle 6: key 5'. "" where none has. Of what an earlier session had it is said that it is not
 * known whether it was typed, but where the bike itself is put right (first_too). first_too: the
 * first setup as well where it has neither, as it is the bike as it came. */
void parts_kept_text(char *text, size_t size, struct session *session,
                     const struct bike_values *former, const struct bike_values *now,
                     bool first_too);

#endif
