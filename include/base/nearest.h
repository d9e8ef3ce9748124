/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BASE_NEAREST_H
#define HOLDLINE_BASE_NEAREST_H

/* How many slips of typing one word is from another: a letter too many, too few, another, or two
 * changed over (Damerau 1964, Commun. ACM 7; the restricted distance). Of words over 24 letters no
 * more is said than 24. */
int slips_between(const char *a, const char *b);

/* So many make it likely that the other word was meant. */
#define SLIPS_MEANT_MOST 2

#endif
