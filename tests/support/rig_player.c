/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/rig_player.h"

#include "base/clock.h"

#include <math.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

static const double pi = 3.14159265358979323846;

size_t rig_player_heading(char *line, int channels, int rate_hz)
{
    static const char *const names[RIG_PLAYER_CHANNELS] = {"head", "chest", "a", "b",
                                                           "c",    "d",     "e", "f"};
    size_t length =
        (size_t)sprintf(line, "# holdline-rig 1 id=player rate=%d unit=mm channels=", rate_hz);
    for (int c = 0; c < channels; c++) {
        length += (size_t)sprintf(line + length, "%s%s", c > 0 ? "," : "", names[c]);
    }
    return length + (size_t)sprintf(line + length, "\n");
}

size_t rig_player_readings(char *line, uint64_t number, uint64_t time_us, const double *range_mm,
                           int channels)
{
    size_t length = (size_t)sprintf(line, "$%llu,%llu", (unsigned long long)number,
                                    (unsigned long long)time_us);
    for (int c = 0; c < channels; c++) {
        length += (size_t)sprintf(line + length, ",%.1f", range_mm[c]);
    }
    unsigned sum = 0;
    for (size_t i = 1; i < length; i++) {
        sum ^= (unsigned char)line[i];
    }
    return length + (size_t)sprintf(line + length, "*%02X\n", sum);
}

double rig_player_seat_mm(int channel)
{
    return channel == 0 ? 259 : channel == 1 ? 118 : 400 + 10 * channel;
}

size_t rig_player_line(char *line, int channels, int rate_hz, uint64_t number)
{
    double at_s = (double)number / rate_hz, range_mm[RIG_PLAYER_CHANNELS];
    for (int c = 0; c < channels; c++) {
        double rider_mm = 15 * sin(2 * pi * at_s / (7 + c)) + 3 * sin(2 * pi * at_s * 1.5);
        double noise_mm = (double)(number * 7919 % 21) / 10 - 1;
        range_mm[c] = rig_player_seat_mm(c) + rider_mm + noise_mm;
    }
    return rig_player_readings(line, number, number * 1000000 / (unsigned)rate_hz, range_mm,
                               channels);
}

static void play(const struct cable *cable, int channels, int rate_hz)
{
    char line[RIG_PLAYER_LINE];
    int64_t start_us = clock_monotonic_us();
    size_t length = rig_player_heading(line, channels, rate_hz);
    for (uint64_t number = 0; cable_write(cable, line, length); number++) {
        int64_t due_us = start_us + (int64_t)(number * 1000000 / (unsigned)rate_hz);
        int64_t wait_us = due_us - clock_monotonic_us();
        if (wait_us > 0) {
            struct timespec wait = {wait_us / 1000000, (long)(wait_us % 1000000 * 1000)};
            nanosleep(&wait, NULL);
        }
        length = rig_player_line(line, channels, rate_hz, number);
    }
}

pid_t rig_player_start(const struct cable *cable, int channels, int rate_hz)
{
    pid_t player = fork();
    if (player == 0) {
        play(cable, channels, rate_hz);
        _exit(EXIT_FAILURE);
    }
    return player;
}

void rig_player_stop(pid_t player)
{
    if (player > 0) {
        kill(player, SIGKILL);
        waitpid(player, NULL, 0);
    }
}
