/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_PLAIN_DRESS_H
#define HOLDLINE_RIG_PLAIN_DRESS_H

#include "rig/dialect.h"

/* Numbers in another dress than decimal ones with a point and something between them: each line is
 * written anew as such before it is taken apart. */
enum plain_dress {
    DRESS_NONE = 0,
    DRESS_SENTENCE = 1,    /* '$NAME,412,296*HH', with a right checksum (IEC 61162-1) */
    DRESS_HEXADECIMAL = 2, /* '0x019C' */
    DRESS_ALL_HEXADECIMAL = 4,
    DRESS_COMMA = 8,      /* '412,5': a comma between figures is a point */
    DRESS_LETTERS = 16,   /* 'A412', 'H412C296': a letter or word, and figures right behind it */
    DRESS_FEET = 32,      /* 1' 4.2": inches */
    DRESS_UNCHECKED = 64, /* '$NAME,412,296', each line of a stream in which none has a checksum */
};

/* The dress of the lines held, by what most of them are. */
unsigned plain_dress_of(const struct held_lines *held, const struct decoder_options *options);

/* Writes a prepared line (rig/plain_tokens.h) anew, in scratch where it changes. False when the
 * line has not the dress: noise, or a wrong checksum. */
bool plain_dress(struct span *line, unsigned dress, char *scratch, size_t size);

/* Has the line feet and inches, as 1' 4.2"? */
bool plain_has_feet(struct span line);
/* Are the lines hexadecimal numbers that nothing marks ('019C')? Then what is read of them as
 * decimal ones would be wrong. */
bool plain_are_hexadecimal(const struct held_lines *held);

#endif
