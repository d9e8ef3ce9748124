/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "recorder_batch.h"

#include "base/clock.h"
#include "base/own_file.h"
#include "base/text.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define FOLDER_SIZE 4096

/* Bench lines: the samples in the form a rig sends them, so that any command takes them as a
 * recorded stream. */

static void write_heading(FILE *file, const struct recorder_batch *batch)
{
    const struct placing_record *placing = &batch->placing;
    char rate[32];
    text_from_double_shortest(rate, sizeof rate, placing->announced_rate_hz);
    fprintf(file, "# holdline-rig 1 id=%s rate=%s unit=mm channels=",
            placing->rig_id[0] != '\0' ? placing->rig_id : "unknown", rate);
    for (int i = 0; i < placing->channel_count; i++) {
        fprintf(file, "%s%s", i > 0 ? "," : "", placing->channel[i].name);
    }
    fputc('\n', file);
}

static void write_sample(FILE *file, const struct sample *sample, uint64_t sequence, int channels)
{
    static const char letter[] = {'\0', '\0', 'w', 's', 'r'};
    char line[256];
    size_t used = 0;
    unsigned check = 0;
    text_append(line, sizeof line, &used, "%llu,%lld", (unsigned long long)sequence,
                (long long)sample->time_us);
    for (int i = 0; i < channels; i++) {
        int32_t range = sample->range_tenth_mm[i];
        text_append(line, sizeof line, &used, ",");
        if (sample->quality[i] == READING_MISSING) {
            continue;
        }
        text_append(line, sizeof line, &used, "%s%d.%d", range < 0 ? "-" : "", abs(range) / 10,
                    abs(range) % 10);
        if (sample->quality[i] < sizeof letter && letter[sample->quality[i]] != '\0') {
            text_append(line, sizeof line, &used, "%c", letter[sample->quality[i]]);
        }
    }
    for (size_t i = 0; i < used; i++) {
        check ^= (unsigned char)line[i];
    }
    fprintf(file, "$%s*%02X\n", line, check);
}

static void write_commands(FILE *file, const struct recorder_batch *batch)
{
    for (size_t i = 0; i < batch->effect_count; i++) {
        const struct effect *effect = &batch->effect[i];
        if (effect->kind == EFFECT_COMMAND) {
            fprintf(file, "# command %lld after sample %lld: %s\n",
                    (long long)effect->record.command.ordinal,
                    (long long)effect->record.command.after_sample, effect->record.command.text);
        }
    }
}

/* A new file of that name in the folder; a number behind it keeps it apart from those that are
 * there. */
static int make_file(const char *folder, const char *name, const char *day, char *path, size_t size)
{
    for (int number = 1; number < 1000; number++) {
        char more[16] = "";
        if (number > 1) {
            snprintf(more, sizeof more, "-%d", number);
        }
        int length = snprintf(path, size, "%s/%s.unsaved-%s%s.rig", folder, name, day, more);
        if (length < 0 || (size_t)length >= size) {
            errno = ENAMETOOLONG;
            return -1;
        }
        int descriptor = own_file_open(path, O_EXCL);
        if (descriptor >= 0 || errno != EEXIST) {
            return descriptor;
        }
    }
    return -1;
}

static bool write_file(const struct recorder_batch *batch, int descriptor)
{
    FILE *file = fdopen(descriptor, "w");
    if (file == NULL) {
        close(descriptor);
        return false;
    }
    int channels = batch->placing.channel_count > 0 ? batch->placing.channel_count : CHANNELS_MAX;
    uint64_t lost = 0;
    if (batch->placing.channel_count > 0) {
        write_heading(file, batch);
    }
    for (size_t i = 0; i < batch->sample_count; i++) {
        lost += batch->sample[i].lost_before;
        write_sample(file, &batch->sample[i], (uint64_t)batch->sample[i].number + lost, channels);
    }
    write_commands(file, batch);
    bool done = fflush(file) == 0 && fsync(descriptor) == 0;
    return fclose(file) == 0 && done;
}

bool batch_salvage(const struct recorder_batch *batch, const char *store_path, char *path,
                   size_t size, struct problem *problem)
{
    const char *slash = strrchr(store_path, '/');
    const char *name = slash != NULL ? slash + 1 : store_path;
    const char *temporary = getenv("TMPDIR");
    char beside[FOLDER_SIZE], day[CLOCK_TEXT_SIZE];
    if (slash == NULL) {
        text_copy(beside, sizeof beside, ".");
    } else {
        snprintf(beside, sizeof beside, "%.*s", (int)(slash - store_path), store_path);
    }
    clock_wall_text(day, batch->session.started_ms);
    day[10] = '\0';
    /* beside the store; where that can't be, the home folder; else among the temporary files */
    const char *folders[] = {beside, getenv("HOME"), temporary != NULL ? temporary : "/tmp"};
    for (size_t i = 0; i < sizeof folders / sizeof folders[0]; i++) {
        int descriptor = folders[i] != NULL ? make_file(folders[i], name, day, path, size) : -1;
        if (descriptor < 0) {
            continue;
        }
        if (write_file(batch, descriptor)) {
            return true;
        }
        int error = errno;
        unlink(path); /* half a file on a full disk is no use */
        errno = error;
    }
    return problem_set(
        problem, "no file could be written beside %s, at home or among the temporary files: %s",
        store_path, strerror(errno));
}
