/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_PASTE_H
#define HOLDLINE_SCREEN_PASTE_H

#include "screen/page_kinds.h"

/* What is pasted into the terminal never acts as keys: in a form's field of text or numbers it is
 * text, its lines one behind the other; elsewhere nothing of it is taken, and that is said. True:
 * the key was part of it. */
bool paste_takes(struct page_stack *pages, const struct view *view, uint32_t key);

#endif
