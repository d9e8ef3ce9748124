/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RIG_H
#define RIG_H

/* Two sensors (or up to eight) that measure in turn, and a line for each round. What is wired to
 * the board is the builder's table in main.c. C99, no allocation, no floating point. */

#include "bench_rig_line.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

struct rig_sensor;

/* How a kind of sensor is asked. */
struct rig_kind {
    bool quiet; /* is timed by the board itself: nothing is sent meanwhile */
    /* Begins a reading; false where the sensor does not answer. */
    bool (*begin)(const struct rig_sensor *sensor);
    /* True when the reading came: its value and mark, and when it was made. since_us: since it was
     * begun. */
    bool (*ready)(const struct rig_sensor *sensor, uint32_t since_us, struct bench_reading *reading,
                  uint32_t *made_us);
};

/* An ultrasonic sensor that answers a trigger with a pulse as long as the sound was under way. */
extern const struct rig_kind rig_echo;
/* A range module on the I2C bus that takes a command and gives two bytes, the high one first. */
extern const struct rig_kind rig_module;
/* A range module that says its readings on a serial line of 9600 baud: in frames, or in lines of
 * text. */
extern const struct rig_kind rig_serial;

/* What the module's data sheet says. */
struct rig_module {
    uint8_t address;         /* of seven bits */
    uint8_t begin_register;  /* where the command is written that begins a reading, */
    uint8_t begin_command;   /* and the command */
    uint16_t ready_ms;       /* after which the reading is there */
    uint8_t range_register;  /* of the first of its two bytes */
    uint8_t tenths_per_step; /* 10 where it counts millimetres, 100 centimetres */
    bool has_status;         /* a register says how good the reading is: */
    uint8_t status_register, status_mask, status_good;
};

enum { RIG_SERIAL_LONGEST = 16 };
struct rig_serial {
    bool asks; /* it is asked for each reading by this byte; else it sends by itself */
    uint8_t ask;
    uint16_t longest_ms;              /* after which nothing more is waited for */
    uint8_t header[2], header_length; /* what a frame begins with, 1 or 2 bytes */
    uint8_t length;   /* bytes of a frame, RIG_SERIAL_LONGEST at most. 0: a line of text, whose
                         figures   stand behind the character header[0]: 'R', or '\n' where there is
                         nothing   before them */
    uint8_t range_at; /* where its two bytes stand in the frame, from 0 */
    uint8_t tenths_per_step; /* 10 where it counts millimetres, 100 centimetres */
    bool low_first;          /* the low one of two bytes comes first */
    bool has_sum;            /* the last byte is the low byte of the sum of those before */
    bool has_strength;       /* two bytes say how strong the return was: doubtful under so much */
    uint8_t strength_at;
    uint16_t strength_least;
};

struct rig_sensor {
    const struct rig_kind *kind;
    uint32_t turn_us; /* the time that is this sensor's own; a module's: its ready_ms and 5 ms for
                         the bus; a serial one's: its longest_ms */
    int32_t nearest, farthest;       /* in tenths of a millimetre; what lies beyond is marked 'r' */
    uint8_t echo_channel;            /* rig_echo, rig_serial: 0 or 1 */
    int8_t air_celsius;              /* rig_echo: of the room */
    const struct rig_module *module; /* rig_module */
    const struct rig_serial *serial; /* rig_serial */
};

struct rig {
    const struct rig_sensor *sensors;
    const char *id, *names;
    struct bench_reading readings[BENCH_CHANNELS_MAX];
    uint32_t sequence, began_us, due_us, made_us, heading_us;
    uint8_t count, now; /* how many sensors there are, and whose turn it is */
    bool begun, has, said_heading;
};

/* The speed of sound in dry air, in centimetres a second: 331.3 + 0.606 t metres a second for t in
 * degrees Celsius, the usual straight line through 0 C, good to 0.2 % between 0 and 35 C. */
uint32_t rig_sound_cm_per_s(int8_t celsius);

/* sensors and texts stay the caller's; count is 1 to BENCH_CHANNELS_MAX. names: 'head,chest'. */
void rig_begin(struct rig *rig, const struct rig_sensor *sensors, uint8_t count, const char *id,
               const char *names);
/* Does what is due. Call it for ever, with board_idle() between. */
void rig_step(struct rig *rig);

#ifdef __cplusplus
}
#endif

#endif
