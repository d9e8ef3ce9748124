/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_SCARCE_MEMORY_H
#define HOLDLINE_TESTS_SUPPORT_SCARCE_MEMORY_H

#include <stdbool.h>

/* A test program in which one call for memory can fail, the library's own (GSL) among them: these
 * stand before the C library's. Under the sanitizers, which have their own memory, none fails:
 * scarce_memory_is_here() says so, and a test of it is skipped. For one thread. */
bool scarce_memory_is_here(void);

/* The number-th call from here on, from 1, finds no memory; those after it do. */
void scarce_memory_begin(long number);
/* The end of it: whether that call was made. Memory is as plenty as ever. */
bool scarce_memory_end(void);

/* Blocks that were taken and not given back, since the program began. */
long scarce_memory_blocks(void);

#endif
