/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_FORM_TYPING_H
#define HOLDLINE_SCREEN_FORM_TYPING_H

#include "screen/form.h"

enum form_result { FORM_STAYS, FORM_LEFT, FORM_MADE };
enum form_result form_key(struct form *form, const struct view *view, uint32_t key);
/* '?' where none can be meant, in a field of a number or a choice and as a text's first: the keys
 * are asked for. */
bool form_asks_for_keys(const struct form *form, uint32_t key);
/* The letters typed in the focused field of choices mean none of them, or several. */
bool form_letters_open(const struct form *form, bool *several);

#endif
