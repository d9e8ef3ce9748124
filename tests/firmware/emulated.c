/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "firmware/emulated.h"

#include "rig/decoder.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* What each is called, and how long the firmware's round takes by its table. */
static const struct {
    const char *name;
    double period_us;
} kinds[EMULATED_KINDS] = {{"echoes", 50000}, {"modules", 50000}, {"serial", 125000}};

struct emulated_lines {
    const char *board;
    enum emulated_kind kind;
    bool failed;
    double off_us;
    struct decoder *decoder;
    size_t ended, count, gaps, wrong;
    double worst_mm, took_us;
    int64_t last_us;
};

uint32_t emulated_width_us(int channel, unsigned n)
{
    if (n % 50 == 49) {
        return 0;
    }
    return channel == 0 ? 1200 + n * 37 % 3000 : 1500 + n * 53 % 2500;
}

uint16_t emulated_module_mm(int channel, unsigned n, bool *good)
{
    *good = n % 40 != 39;
    return (uint16_t)(channel == 0 ? 200 + n * 7 % 700 : 250 + n * 11 % 500);
}

#define ANSWERS_AFTER_US 20000

void emulated_answer(struct serial_module *module, int channel, double now_us)
{
    bool good;
    uint16_t mm = emulated_module_mm(channel, module->asked, &good); /* not in the first turn */
    uint8_t frame[4] = {0xFF, (uint8_t)(mm >> 8), (uint8_t)mm, 0};
    frame[3] = (uint8_t)(frame[0] + frame[1] + frame[2] + (good ? 0 : 1));
    if (module->last == 0x55) {
        serial_module_say(module, frame, 4, now_us + ANSWERS_AFTER_US);
    }
}

bool emulated_kind_read(int count, char **arguments, enum emulated_kind *kind)
{
    for (int i = 0; count == 4 && i < EMULATED_KINDS; i++) {
        if (strcmp(arguments[2], kinds[i].name) == 0) {
            *kind = (enum emulated_kind)i;
            return true;
        }
    }
    fprintf(stderr, "usage: %s FIRMWARE.elf echoes|modules|serial LINES\n", arguments[0]);
    return false;
}

/* The range in millimetres that belongs to an echo: half the way at 331.3 + 0.606 x 20 m/s. */
static double echo_mm(uint32_t width_us)
{
    return width_us * 1e-6 * (331.3 + 0.606 * 20) * 1000 / 2;
}

/* Is a reading what it must be? */
static bool as_known(struct emulated_lines *lines, const struct raw_sample *sample, int channel)
{
    unsigned n = (unsigned)sample->sequence;
    double range = sample->range_tenth_mm[channel] / 10.0;
    if (lines->kind != EMULATED_ECHOES) {
        bool good;
        double known = emulated_module_mm(channel, n, &good);
        if (lines->kind == EMULATED_SERIAL && (n == 0 || !good)) {
            return sample->quality[channel] == READING_MISSING;
        }
        lines->worst_mm = fmax(lines->worst_mm, fabs(range - known));
        return fabs(range - known) < 0.01 &&
               sample->quality[channel] == (good ? READING_GOOD : READING_WEAK);
    }
    uint32_t width_us = emulated_width_us(channel, n);
    if (width_us == 0) {
        return sample->quality[channel] == READING_MISSING;
    }
    double off_mm = fabs(range - echo_mm(width_us));
    lines->worst_mm = fmax(lines->worst_mm, off_mm);
    return sample->quality[channel] == READING_GOOD && off_mm <= 0.05 + echo_mm(1) * lines->off_us;
}

static void take(void *context, const struct raw_sample *sample)
{
    struct emulated_lines *lines = context;
    lines->gaps += sample->sequence != lines->count;
    for (int channel = 0; channel < EMULATED_CHANNELS; channel++) {
        lines->wrong += !as_known(lines, sample, channel);
    }
    if (lines->count > 0) { /* the board's clock comes round at 32 bits */
        lines->took_us += (double)(uint32_t)(sample->rig_time_us - lines->last_us);
    }
    lines->last_us = sample->rig_time_us;
    lines->count++;
}

struct emulated_lines *emulated_lines_create(const char *board, enum emulated_kind kind,
                                             double off_us)
{
    struct problem problem;
    struct emulated_lines *lines = calloc(1, sizeof *lines);
    if (lines == NULL) {
        return NULL;
    }
    lines->board = board;
    lines->kind = kind;
    lines->off_us = off_us;
    lines->decoder = decoder_create(NULL, &problem);
    if (lines->decoder == NULL) {
        free(lines);
        return NULL;
    }
    return lines;
}

void emulated_byte(struct emulated_lines *lines, char byte)
{
    struct problem problem;
    lines->failed |= !decoder_feed(lines->decoder, &byte, 1, take, lines, &problem);
    lines->ended += byte == '\n';
}

size_t emulated_count(const struct emulated_lines *lines)
{
    return lines->ended;
}

bool emulated_judge(struct emulated_lines *lines)
{
    struct problem problem;
    bool good = decoder_finish(lines->decoder, take, lines, &problem) && !lines->failed;
    const struct decoder_counts *counts = decoder_counts(lines->decoder);
    uint64_t rejected = 0;
    for (int i = 0; i < REJECT_REASONS; i++) {
        rejected += counts->rejected[i];
    }
    double period_us = lines->count > 1 ? lines->took_us / (double)(lines->count - 1) : 0;
    good = good && lines->count > 0 && lines->wrong == 0 && lines->gaps == 0 && rejected == 0 &&
           fabs(period_us - kinds[lines->kind].period_us) < 0.001 * kinds[lines->kind].period_us;
    printf("%s, %s: %zu lines read, %llu refused, %zu out of sequence, %zu readings wrong, the "
           "worst %.2f mm off; "
           "one each %.1f us: %s\n",
           lines->board, kinds[lines->kind].name, lines->count, (unsigned long long)rejected,
           lines->gaps, lines->wrong, lines->worst_mm, period_us,
           good ? "as wanted" : "NOT AS WANTED");
    decoder_destroy(lines->decoder);
    free(lines);
    return good;
}
