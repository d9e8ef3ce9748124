/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/uart.h"

#include <math.h>
#include <stdbool.h>
#include <termios.h>

#define BITS 10 /* start, eight, stop */

/* The line's level at a time, in bits of the sender: high when nothing is sent. */
static bool level_at(const char *sent, size_t length, double byte_bits, double at)
{
    double index = floor(at / byte_bits);
    double inside = at - index * byte_bits;
    if (at < 0 || index >= (double)length || inside >= BITS - 1) {
        return true;
    }
    unsigned bit = (unsigned)inside;
    return bit > 0 && ((unsigned char)sent[(size_t)index] >> (bit - 1) & 1U) != 0;
}

size_t uart_receive(const char *sent, size_t length, double sent_baud, double received_baud,
                    double gap_bits, char *received, size_t size)
{
    double byte_bits = BITS + gap_bits;
    double bit = sent_baud / received_baud; /* of the receiver, in bits of the sender */
    double step = fmin(bit, 1) / 16;
    double end = byte_bits * (double)length + BITS * bit;
    size_t count = 0;
    bool before = true;
    for (double at = 0; at < end && count < size;) {
        bool level = level_at(sent, length, byte_bits, at);
        bool edge = before && !level;
        before = level;
        if (!edge || level_at(sent, length, byte_bits, at + bit / 2)) {
            at += step;
            continue;
        }
        unsigned byte = 0;
        for (unsigned i = 0; i < 8; i++) {
            byte |= level_at(sent, length, byte_bits, at + bit * (1.5 + i)) ? 1U << i : 0;
        }
        bool stop = level_at(sent, length, byte_bits, at + bit * 9.5);
        received[count++] = (char)(stop ? byte : 0);
        at += bit * 9.5;
        before = level_at(sent, length, byte_bits, at);
    }
    return count;
}

double uart_speed_set(int master)
{
    static const struct {
        speed_t speed;
        double baud;
    } speeds[] = {
        {B1200, 1200},     {B2400, 2400},       {B4800, 4800},       {B9600, 9600},
        {B19200, 19200},   {B38400, 38400},     {B57600, 57600},     {B115200, 115200},
        {B230400, 230400}, {B460800, 460800},   {B500000, 500000},   {B576000, 576000},
        {B921600, 921600}, {B1000000, 1000000}, {B1500000, 1500000}, {B2000000, 2000000},
    };
    struct termios settings;
    if (tcgetattr(master, &settings) == 0) {
        for (size_t i = 0; i < sizeof speeds / sizeof speeds[0]; i++) {
            if (speeds[i].speed == cfgetispeed(&settings)) {
                return speeds[i].baud;
            }
        }
    }
    return 38400;
}
