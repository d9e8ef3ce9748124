/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig.h"

#include "board.h"

#include <string.h>

#define HEADING_EVERY_US 5000000UL

void rig_begin(struct rig *rig, const struct rig_sensor *sensors, uint8_t count, const char *id,
               const char *names)
{
    memset(rig, 0, sizeof *rig);
    rig->sensors = sensors;
    rig->count = count;
    rig->id = id;
    rig->names = names;
}

/* Rounds a second, to the nearest. */
static unsigned rate_hz(const struct rig *rig)
{
    uint32_t round_us = 0;
    for (uint8_t i = 0; i < rig->count; i++) {
        round_us += rig->sensors[i].turn_us;
    }
    return round_us > 0 ? (unsigned)((1000000UL + round_us / 2) / round_us) : 0;
}

/* True when the whole line went; half a line never goes. */
static bool send(const char *line, size_t length)
{
    if (length == 0 || board_serial_room() < length) {
        return false;
    }
    board_serial_write(line, length);
    return true;
}

/* The heading tells a program that was plugged in later how to read the lines. */
static void send_heading(struct rig *rig, uint32_t now_us)
{
    char line[BENCH_LINE_SIZE];
    if (rig->said_heading && now_us - rig->heading_us < HEADING_EVERY_US) {
        return;
    }
    if (send(line, bench_heading(line, sizeof line, rig->id, rate_hz(rig), rig->names))) {
        rig->said_heading = true;
        rig->heading_us = now_us;
    }
}

/* The sequence rises for a line that could not be sent, too: the program sees what is missing. */
static void send_round(struct rig *rig)
{
    char line[BENCH_LINE_SIZE];
    size_t length =
        bench_line(line, sizeof line, rig->sequence++, rig->made_us, rig->readings, rig->count);
    (void)send(line, length);
}

/* The time of a round is that of its first reading. */
static void keep_time(struct rig *rig, uint32_t made_us)
{
    if (rig->now == 0) {
        rig->made_us = made_us;
    }
}

static void begin_turn(struct rig *rig, uint32_t now_us)
{
    const struct rig_sensor *sensor = &rig->sensors[rig->now];
    rig->readings[rig->now].tenths = 0;
    rig->readings[rig->now].mark = '-';
    rig->begun = true;
    rig->began_us = now_us;
    /* Turns end on a grid, so that the rate is what the heading says, unless one was missed. */
    rig->due_us = (now_us - rig->due_us < sensor->turn_us ? rig->due_us : now_us) + sensor->turn_us;
    rig->has = !sensor->kind->begin(sensor); /* no answer: nothing to wait for */
    keep_time(rig, now_us);
}

static void look(struct rig *rig, uint32_t since_us)
{
    const struct rig_sensor *sensor = &rig->sensors[rig->now];
    struct bench_reading *reading = &rig->readings[rig->now];
    uint32_t made_us = rig->began_us;
    if (!sensor->kind->ready(sensor, since_us, reading, &made_us)) {
        return;
    }
    rig->has = true;
    keep_time(rig, made_us);
    if (reading->mark == 0 &&
        (reading->tenths < sensor->nearest || reading->tenths > sensor->farthest)) {
        reading->mark = 'r';
    }
}

/* The turn is over: the next one's, and after the last one's the line. */
static void end_turn(struct rig *rig, uint32_t now_us)
{
    rig->begun = false;
    rig->now++;
    if (rig->now == rig->count) {
        rig->now = 0;
        send_heading(rig, now_us);
        send_round(rig);
    }
}

void rig_step(struct rig *rig)
{
    uint32_t now_us = board_micros();
    if (rig->begun) {
        if (!rig->has) {
            look(rig, now_us - rig->began_us);
        }
        /* A module always comes to an end, and is waited for; an echo may never come. */
        if ((int32_t)(now_us - rig->due_us) < 0 ||
            (!rig->has && !rig->sensors[rig->now].kind->quiet)) {
            return;
        }
        end_turn(rig, now_us);
        now_us = board_micros();
    }
    /* Sending takes some milliseconds of the first turn; the port's interrupts would come between.
     */
    if (board_serial_idle() || !rig->sensors[rig->now].kind->quiet) {
        begin_turn(rig, now_us);
    }
}
