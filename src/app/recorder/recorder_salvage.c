/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/recorder.h"
#include "recorder_batch.h"

#include "base/clock.h"
#include "base/own_file.h"
#include "base/text.h"
#include "base/uuid.h"
#include "base/words.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define FOLDER_SIZE 4096
#define SALVAGE_WORDS 160 /* bytes of the sentence without what stands in it */
#define SESSION_LINE_SIZE (UUID_TEXT_SIZE + 16)

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

/* Whose readings they are. */
static void session_line(char *line, size_t size, const struct uuid *uuid)
{
    char text[UUID_TEXT_SIZE];
    uuid_text(text, uuid);
    snprintf(line, size, "# session %s\n", text);
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

/* Where they go, by the store's name and the session's day: beside the store; where that can't be,
 * the home folder; else among the temporary files. */
struct places {
    char beside[FOLDER_SIZE], day[CLOCK_TEXT_SIZE];
    const char *name, *folder[3]; /* NULL: there is no such */
};
#define PLACES 3
#define NUMBERS 1000

static void find_places(struct places *places, const char *store_path, int64_t started_ms)
{
    const char *slash = strrchr(store_path, '/'), *temporary = getenv("TMPDIR");
    text_copy(places->beside, sizeof places->beside, ".");
    if (slash != NULL) {
        snprintf(places->beside, sizeof places->beside, "%.*s", (int)(slash - store_path),
                 store_path);
    }
    clock_wall_text(places->day, started_ms);
    places->day[10] = '\0';
    places->name = slash != NULL ? slash + 1 : store_path;
    places->folder[0] = places->beside;
    places->folder[1] = getenv("HOME");
    places->folder[2] = temporary != NULL ? temporary : "/tmp";
}

/* A number behind it keeps it apart from others of the day. */
static bool name_file(const struct places *places, const char *folder, int number, char *path,
                      size_t size)
{
    char more[16] = "";
    if (number > 1) {
        snprintf(more, sizeof more, "-%d", number);
    }
    int length =
        snprintf(path, size, "%s/%s.unsaved-%s%s.rig", folder, places->name, places->day, more);
    return length >= 0 && (size_t)length < size;
}

static int make_file(const struct places *places, const char *folder, char *path, size_t size)
{
    for (int number = 1; number < NUMBERS; number++) {
        if (!name_file(places, folder, number, path, size)) {
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
    char line[SESSION_LINE_SIZE];
    if (batch->placing.channel_count > 0) {
        write_heading(file, batch);
    }
    session_line(line, sizeof line, &batch->session.uuid);
    fputs(line, file);
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
    struct places places;
    find_places(&places, store_path, batch->session.started_ms);
    for (int i = 0; i < PLACES; i++) {
        const char *folder = places.folder[i];
        int descriptor = folder != NULL ? make_file(&places, folder, path, size) : -1;
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

/* ---- taken in again ---- */

static void import_words(const char *store_path, char *command, size_t size, size_t *used)
{
    char store[FOLDER_SIZE];
    words_quote_for_shell(store, sizeof store, store_path);
    text_append(command, size, used, "holdline import --store %s", store);
}

static void import_file(const char *path, char *command, size_t size, size_t *used)
{
    char quoted[FOLDER_SIZE];
    words_quote_for_shell(quoted, sizeof quoted, path);
    text_append(command, size, used, " %s", quoted);
}

void batch_salvage_words(const struct recorder_batch *batch, const char *store_path,
                         const char *path, const struct problem *why, struct problem *problem)
{
    char command[2 * FOLDER_SIZE];
    size_t used = 0;
    import_words(store_path, command, sizeof command, &used);
    import_file(path, command, sizeof command, &used);
    bool fits = strlen(why->sentence) + strlen(path) + used + SALVAGE_WORDS < sizeof why->sentence;
    problem_set(problem,
                "%s. %zu samples and %zu records that are not in the store were saved as %s. When "
                "it can be stored, '%s' takes the samples in as another session",
                why->sentence, batch->sample_count, batch->effect_count, path,
                fits ? command : "holdline import");
}

/* Is it one of the session's? Said in its first lines. */
static bool is_of(const char *path, const struct uuid *uuid)
{
    char wanted[SESSION_LINE_SIZE], line[1024];
    bool found = false;
    FILE *file = fopen(path, "r");
    session_line(wanted, sizeof wanted, uuid);
    for (int i = 0; i < 2 && file != NULL && !found; i++) {
        found = fgets(line, sizeof line, file) != NULL && strcmp(line, wanted) == 0;
    }
    if (file != NULL) {
        fclose(file);
    }
    return found;
}

bool recorder_find_saved(const char *store_path, const struct store_session *session, char *command,
                         size_t size)
{
    struct places places;
    char path[FOLDER_SIZE];
    size_t used = 0;
    bool found = false;
    import_words(store_path, command, size, &used);
    find_places(&places, store_path, session->started_ms);
    for (int i = 0; i < PLACES && !found; i++) {
        const char *folder = places.folder[i];
        for (int number = 1;
             folder != NULL && number < NUMBERS &&
             name_file(&places, folder, number, path, sizeof path) && access(path, R_OK) == 0;
             number++) {
            if (is_of(path, &session->uuid)) {
                import_file(path, command, size, &used);
                found = true;
            }
        }
    }
    return found && used + 1 < size;
}
