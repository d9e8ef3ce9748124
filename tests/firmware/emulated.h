/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef TESTS_FIRMWARE_EMULATED_H
#define TESTS_FIRMWARE_EMULATED_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* What the firmware's emulated boards have in common: ranges that are known, and the lines that
 * came, read back by the program's decoder. */

enum { EMULATED_CHANNELS = 2 };

/* How long the nth echo of a channel is, in microseconds; 0: none comes. */
uint32_t emulated_width_us(int channel, unsigned n);
/* What the nth reading of a module is, in millimetres, and whether the module calls it good. */
uint16_t emulated_module_mm(int channel, unsigned n, bool *good);

struct emulated_lines;
/* What the board is called; whether its readings are modules'; how far an echo may be mistimed; of
 * the lines. NULL without memory. */
struct emulated_lines *emulated_lines_create(const char *board, bool modules, double off_us,
                                             double period_us);
/* A byte that left the board's port. */
void emulated_byte(struct emulated_lines *lines, char byte);
/* How many lines ended so far, headings with them. */
size_t emulated_count(const struct emulated_lines *lines);
/* Says on standard output what was found, and whether all was as it is known; takes the lines away.
 */
bool emulated_judge(struct emulated_lines *lines);

#endif
