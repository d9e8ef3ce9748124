/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/tones.h"

#include "base/angle.h"

#include <math.h>

/* How the tones sound. An octave lies between the count and the start: heard through a fan. The cue
 * glides an octave the way to go, down from above all tones, up from below them, so that it is
 * taken for no count; in again is one level pitch between. A rest is the only tone that comes
 * twice.
 */

#define FADE_S 0.01
#define LOUDNESS 0.5

static const struct {
    double from_hz, to_hz, length_s;
    double pause_s; /* in its middle */
} sounds[SCREEN_TONES] = {
    [SCREEN_TONE_COUNT] = {600.0, 600.0, 0.12, 0.0},
    [SCREEN_TONE_START] = {1200.0, 1200.0, 0.40, 0.0},
    [SCREEN_TONE_END] = {400.0, 400.0, 0.70, 0.0},
    [SCREEN_TONE_LOWER] = {1600.0, 800.0, 0.50, 0.0},
    [SCREEN_TONE_RAISE] = {350.0, 700.0, 0.50, 0.0},
    [SCREEN_TONE_IN] = {900.0, 900.0, 0.20, 0.0},
    [SCREEN_TONE_REST] = {500.0, 500.0, 0.60, 0.20},
};

/* Turns so far, of a pitch that glides evenly in octaves. */
static double turns(enum screen_tone tone, double at_s)
{
    double from_hz = sounds[tone].from_hz, rate = log(sounds[tone].to_hz / from_hz);
    double share = at_s / sounds[tone].length_s;
    return rate == 0.0 ? from_hz * at_s
                       : from_hz * sounds[tone].length_s * (exp(rate * share) - 1.0) / rate;
}

static void put_word(uint8_t *bytes, uint32_t value, int count)
{
    for (int i = 0; i < count; i++) {
        bytes[i] = (uint8_t)(value >> (8 * i));
    }
}

static void put_name(uint8_t *bytes, const char *name)
{
    for (int i = 0; name[i] != '\0'; i++) {
        bytes[i] = (uint8_t)name[i];
    }
}

/* RIFF WAVE, format PCM (IBM and Microsoft 1991, Multimedia Programming Interface 1.0). */
static void put_header(uint8_t *bytes, uint32_t data_bytes)
{
    put_name(bytes, "RIFF");
    put_word(bytes + 4, TONE_HEADER_BYTES - 8 + data_bytes, 4);
    put_name(bytes + 8, "WAVEfmt ");
    put_word(bytes + 16, 16, 4);
    put_word(bytes + 20, 1, 2); /* PCM */
    put_word(bytes + 22, 1, 2); /* one channel */
    put_word(bytes + 24, TONE_RATE_HZ, 4);
    put_word(bytes + 28, 2 * TONE_RATE_HZ, 4);
    put_word(bytes + 32, 2, 2);
    put_word(bytes + 34, 16, 2);
    put_name(bytes + 36, "data");
    put_word(bytes + 40, data_bytes, 4);
}

size_t tone_wave(enum screen_tone tone, uint8_t bytes[TONE_BYTES_MAX])
{
    double length_s = sounds[tone].length_s;
    int count = (int)(length_s * TONE_RATE_HZ);
    put_header(bytes, 2 * (uint32_t)count);
    for (int i = 0; i < count; i++) {
        double at_s = (double)i / TONE_RATE_HZ;
        double beside_s = fabs(at_s - length_s / 2.0) - sounds[tone].pause_s / 2.0;
        double sounding_s = sounds[tone].pause_s > 0.0 ? fmax(0.0, beside_s) : length_s;
        double edge = fmin(1.0, fmin(sounding_s, fmin(at_s, length_s - at_s)) / FADE_S);
        double fade = 0.5 - 0.5 * cos(TWO_PI / 2.0 * edge);
        double value = LOUDNESS * fade * sin(TWO_PI * turns(tone, at_s));
        put_word(bytes + TONE_HEADER_BYTES + 2 * (size_t)i, (uint32_t)lround(value * 32767.0), 2);
    }
    return TONE_HEADER_BYTES + 2 * (size_t)count;
}
