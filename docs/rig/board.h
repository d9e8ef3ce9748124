/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BOARD_H
#define BOARD_H

/* What a microcontroller must be able to do for the rig. One file for each family (board_avr.c,
 * board_m0.c); tests have one of their own. Nothing here waits, but for the ten microseconds of a
 * trigger and a pause of the bus. */

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

enum { BOARD_ECHO_CHANNELS = 2 };
enum board_line { BOARD_SCL, BOARD_SDA };

/* Clocks, pins, the serial port at 115200 baud. */
void board_start(void);
/* Microseconds since the start; comes round at 32 bits. */
uint32_t board_micros(void);
/* Sleeps until anything happens, a millisecond at most. */
void board_idle(void);

/* Pulls the trigger of an ultrasonic sensor for 10 us and listens for its echo. */
void board_echo_begin(uint8_t channel);
/* Has the echo pulse of this channel ended? Then how long it was, and when it ended, in
 * microseconds. */
bool board_echo_ended(uint8_t channel, uint32_t *width_us, uint32_t *ended_us);

/* From now on the edges on this channel's echo pin are bytes at 9600 baud (heard.h), and its
 * trigger pin rests high. False where it was not so before: a module has to see it rest for a
 * while. */
bool board_listen(uint8_t channel);
/* The oldest byte that was heard, and when it began. */
bool board_heard(uint8_t channel, uint8_t *byte, uint32_t *began_us);
/* The channel's trigger pin. */
void board_trigger(uint8_t channel, bool high);

/* The two lines of a bus of the I2C kind: pulled low, or let go (a resistor pulls them up). */
void board_bus_pull(enum board_line line, bool low);
bool board_bus_is_high(enum board_line line);
/* Half a clock of the bus: 5 us or more. */
void board_bus_pause(void);

/* How many bytes the serial port takes now, and whether all that it took is on its way. */
size_t board_serial_room(void);
bool board_serial_idle(void);
void board_serial_write(const char *bytes, size_t length);

#ifdef __cplusplus
}
#endif

#endif
