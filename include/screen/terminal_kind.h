/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_TERMINAL_KIND_H
#define HOLDLINE_SCREEN_TERMINAL_KIND_H

#include "base/problem.h"

#include <stdbool.h>

/* Is standard output a terminal of a kind that the screen can be shown on? Asked before curses is
 * started. A file of its own, since the header it needs takes words like 'columns' for itself. */
bool terminal_kind_usable(struct problem *problem);
/* While curses runs: the terminal says where what it pastes begins and ends (CSI 200~, CSI 201~).
 * One that can't takes no notice. */
void terminal_kind_marks_pastes(bool on);

#endif
