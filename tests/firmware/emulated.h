/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef TESTS_FIRMWARE_EMULATED_H
#define TESTS_FIRMWARE_EMULATED_H

#include "support/serial_module.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* What the firmware's emulated boards have in common: ranges that are known, and the lines that
 * came, read back by the program's decoder. */

enum { EMULATED_CHANNELS = 2 };
/* What is wired to the board. */
enum emulated_kind { EMULATED_ECHOES, EMULATED_MODULES, EMULATED_SERIAL, EMULATED_KINDS };

/* How long the nth echo of a channel is, in microseconds; 0: none comes. */
uint32_t emulated_width_us(int channel, unsigned n);
/* What the nth reading of a module is, in millimetres, and whether the module calls it good. */
uint16_t emulated_module_mm(int channel, unsigned n, bool *good);
/* A serial module heard a byte: its nth answer, damaged where the reading is none, from then on. */
void emulated_answer(struct serial_module *module, int channel, double now_us);

struct emulated_lines;
/* The kind that is called so on the command line; says how to use the program where none is. */
bool emulated_kind_read(int count, char **arguments, enum emulated_kind *kind);
/* What the board is called and wired to; how far an echo may be mistimed. NULL without memory. */
struct emulated_lines *emulated_lines_create(const char *board, enum emulated_kind kind,
                                             double off_us);
/* A byte that left the board's port. */
void emulated_byte(struct emulated_lines *lines, char byte);
/* How many lines ended so far, headings with them. */
size_t emulated_count(const struct emulated_lines *lines);
/* Says on standard output what was found, and whether all was as it is known; takes the lines away.
 */
bool emulated_judge(struct emulated_lines *lines);

#endif
