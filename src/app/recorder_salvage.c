#include "recorder_batch.h"

#include "base/clock.h"
#include "base/text.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define NAME_STEM_SIZE 4096

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

/* A new file: in the store's folder, else the home folder, else the one for temporary files. */
static int make_file(const char *store_path, const char *started, char *path, size_t size)
{
    const char *slash = strrchr(store_path, '/');
    const char *name = slash != NULL ? slash + 1 : store_path;
    const char *temporary = getenv("TMPDIR");
    char folder[NAME_STEM_SIZE];
    snprintf(folder, sizeof folder, "%.*s", slash != NULL ? (int)(slash - store_path) : 1,
             slash != NULL ? store_path : ".");
    const char *folders[] = {slash == store_path ? "/" : folder, getenv("HOME"),
                             temporary != NULL ? temporary : "/tmp"};
    for (size_t i = 0; i < sizeof folders / sizeof folders[0]; i++) {
        for (int number = 1; folders[i] != NULL && number < 1000; number++) {
            char more[16] = "";
            if (number > 1) {
                snprintf(more, sizeof more, "-%d", number);
            }
            int length =
                snprintf(path, size, "%s/%s.unsaved-%s%s.rig", folders[i], name, started, more);
            int descriptor = length > 0 && (size_t)length < size
                                 ? open(path, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0600)
                                 : -1;
            if (descriptor >= 0) {
                return descriptor;
            }
            if (errno != EEXIST) {
                break;
            }
        }
    }
    return -1;
}

bool batch_salvage(const struct recorder_batch *batch, const char *store_path, char *path,
                   size_t size, struct problem *problem)
{
    char started[CLOCK_TEXT_SIZE];
    clock_wall_text(started, batch->session.started_ms);
    started[10] = '\0'; /* the day is enough: the number behind it keeps them apart */
    int descriptor = make_file(store_path, started, path, size);
    FILE *file = descriptor >= 0 ? fdopen(descriptor, "w") : NULL;
    if (file == NULL) {
        if (descriptor >= 0) {
            close(descriptor);
        }
        return problem_set(problem,
                           "no file can be made beside %s, at home or among the temporary "
                           "files: %s",
                           store_path, strerror(errno));
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
    done = fclose(file) == 0 && done;
    return done ||
           problem_set(problem, "%s can't be written to the end: %s", path, strerror(errno));
}
