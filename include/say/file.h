/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SAY_FILE_H
#define HOLDLINE_SAY_FILE_H

#include "rig/plain_describe.h"

#include <stddef.h>

/* What a file of numbers was recognised as, in words: a line for the file, one for each column. */

/* "fields divided by ';', a comma is the decimal sign" */
void say_file_form(char *text, size_t size, const struct plain_description *description);
/* "column 2 'head [cm]': range head, in cm"; "column 4 'temp': not used: called something else than
 * a range" */
void say_file_column(char *text, size_t size, const struct plain_description *description,
                     int column);

#endif
