/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_UART_H
#define HOLDLINE_TESTS_SUPPORT_UART_H

#include <stddef.h>

/* What a receiver makes of bytes that were sent at another speed: the bits on the line (a start
 * bit, eight from the lowest on, a stop bit) sampled in the middle of each bit at the receiver's
 * own speed, from the edge of a start bit on. A byte whose stop bit is not there comes as 0, as
 * many drivers give it. gap_bits: pauses between the bytes, in bits of the sender. Returns how many
 * bytes came, at most size. */
size_t uart_receive(const char *sent, size_t length, double sent_baud, double received_baud,
                    double gap_bits, char *received, size_t size);

/* The speed that the slave's side of a pseudo-terminal was set to; master is its master's side. */
double uart_speed_set(int master);

#endif
