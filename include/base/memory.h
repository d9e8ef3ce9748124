/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BASE_MEMORY_H
#define HOLDLINE_BASE_MEMORY_H

#include "base/problem.h"

#include <stdbool.h>

/* Memory that was asked for and not given, anywhere in the program and in the libraries that tell
 * of it. Whoever asks goes on without, and what comes out may lack something: so nothing is
 * committed, named or called done that was made meanwhile. */

/* Notes one; any thread. */
void memory_note_lack(void);
/* How many there were since the program began: the same before and after a piece of work, and the
 * work lacks nothing. */
long memory_lacks(void);
/* True when there was none since; else sets the sentence. */
bool memory_sufficed(long lacks_before, struct problem *problem);

/* Large blocks get pages of their own, which go when they are freed, and are touched only where
 * they are used. Once, at the program's start. */
void memory_large_apart(void);
/* What was freed goes back: after work that took much, beside what lasts for hours. */
void memory_give_back(void);

#endif
