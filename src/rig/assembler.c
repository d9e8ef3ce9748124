/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/assembler.h"

#include "base/text.h"

#include <string.h>

/* A name that has come so often: slower channels have come too, by then. */
#define HEARD_ENOUGH 3

static void begin_sample(struct assembler *assembler)
{
    memset(&assembler->pending, 0, sizeof assembler->pending);
    memset(assembler->is_filled, 0, sizeof assembler->is_filled);
    memset(assembler->pending.quality, READING_MISSING, sizeof assembler->pending.quality);
    assembler->filled_count = 0;
}

static void send(struct assembler *assembler, struct dialect_output *output)
{
    if (assembler->filled_count == 0) {
        return;
    }
    uint64_t end_byte = output->end_byte;
    output->end_byte = assembler->pending_end_byte;
    output->info->channel_count = assembler->channel_count;
    for (int i = assembler->channel_count; i < CHANNELS_MAX; i++) {
        assembler->pending.quality[i] = READING_GOOD; /* as everywhere behind the last channel */
    }
    dialect_emit(output, &assembler->pending);
    output->end_byte = end_byte;
    begin_sample(assembler);
}

static void name_channel(struct rig_info *info, int channel, struct span key)
{
    char *name = info->channel_name[channel];
    dialect_channel_name(name, key.text, key.length);
    bool taken = name[0] == '\0';
    for (int i = 0; i < channel; i++) {
        taken = taken || text_equal(name, info->channel_name[i]);
    }
    if (taken) {
        dialect_default_channel_name(name, channel);
    }
}

/* The channel of a name; -1 when it is none. */
static int channel_of(struct assembler *assembler, struct rig_info *info, struct span name,
                      struct span key)
{
    struct span kept = name;
    kept.length = kept.length < ASSEMBLER_NAME_SIZE ? kept.length : ASSEMBLER_NAME_SIZE - 1;
    for (int i = 0; i < assembler->channel_count; i++) {
        if (kept.length == assembler->name_length[i] &&
            memcmp(kept.text, assembler->name[i], kept.length) == 0) {
            return i;
        }
    }
    if (assembler->knows_all || assembler->channel_count == CHANNELS_MAX ||
        memchr(kept.text, '\0', kept.length) != NULL) {
        return -1;
    }
    int channel = assembler->channel_count++;
    memcpy(assembler->name[channel], kept.text, kept.length);
    assembler->name[channel][kept.length] = '\0';
    assembler->name_length[channel] = kept.length;
    name_channel(info, channel, key);
    return channel;
}

bool assembler_hear(struct assembler *assembler, struct rig_info *info, struct span name,
                    struct span key)
{
    int channel = channel_of(assembler, info, name, key);
    info->channel_count = assembler->channel_count;
    return channel < 0 || ++assembler->heard[channel] < HEARD_ENOUGH;
}

bool assembler_hear_lines(struct assembler *assembler, struct rig_info *info,
                          const struct held_lines *held, assembler_hear_line *hear_line,
                          void *context)
{
    bool is_sure = false;
    memset(assembler, 0, sizeof *assembler);
    for (int i = 0; i < held->count; i++) { /* no more are held once it is sure */
        const char *text = held->bytes + held->line[i].start;
        is_sure =
            hear_line(assembler, info, span_between(text, text + held->line[i].length), context);
    }
    assembler->knows_all = assembler->channel_count > 0;
    return is_sure;
}

bool assembler_add(struct assembler *assembler, struct dialect_output *output, struct span name,
                   struct span key, const int64_t *time_us, int32_t range_tenth_mm,
                   enum reading_quality quality)
{
    if (assembler->filled_count == 0) {
        begin_sample(assembler);
    }
    int channel = channel_of(assembler, output->info, name, key);
    if (channel < 0) {
        return false;
    }
    struct raw_sample *pending = &assembler->pending;
    bool other_time = time_us != NULL && pending->has_rig_time && pending->rig_time_us != *time_us;
    assembler->knows_all = assembler->knows_all || assembler->is_filled[channel];
    if (assembler->is_filled[channel] || other_time) {
        send(assembler, output);
    }
    if (time_us != NULL) {
        pending->has_rig_time = true;
        pending->rig_time_us = *time_us;
        output->info->has_rig_time = true;
    }
    pending->range_tenth_mm[channel] = quality == READING_MISSING ? 0 : range_tenth_mm;
    pending->quality[channel] = (uint8_t)quality;
    assembler->is_filled[channel] = true;
    assembler->filled_count++;
    assembler->pending_end_byte = output->end_byte;
    return true;
}

void assembler_line_ends(struct assembler *assembler, struct dialect_output *output)
{
    if (assembler->knows_all && assembler->filled_count == assembler->channel_count) {
        send(assembler, output);
    }
}

void assembler_finish(struct assembler *assembler, struct dialect_output *output)
{
    send(assembler, output);
}
