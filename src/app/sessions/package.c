/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/package.h"

#include "base/text.h"
#include "report/tables.h"

#include <minizip/zip.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

/* Quick before small: readings come down to a seventh either way. */
#define DEFLATE_LEVEL 2

/* ---- the archive, put together in memory: its library goes back to lengths and sums -----------
 */

struct memory_file {
    char *bytes;
    size_t size, room, at;
    bool failed;
};

static voidpf open_memory(voidpf opaque, const void *name, int mode)
{
    (void)name;
    (void)mode;
    return opaque;
}

static uLong read_memory(voidpf opaque, voidpf stream, void *bytes, uLong size)
{
    (void)opaque, (void)stream, (void)bytes, (void)size;
    return 0; /* it is only written */
}

static uLong write_memory(voidpf opaque, voidpf stream, const void *bytes, uLong size)
{
    struct memory_file *file = stream;
    (void)opaque;
    if (file->at + size > file->room) {
        size_t room = (file->at + size) * 2 + 65536;
        char *larger = realloc(file->bytes, room);
        if (larger == NULL) {
            file->failed = true;
            return 0;
        }
        file->bytes = larger;
        file->room = room;
    }
    memcpy(file->bytes + file->at, bytes, size);
    file->at += size;
    file->size = file->at > file->size ? file->at : file->size;
    return size;
}

static ZPOS64_T tell_memory(voidpf opaque, voidpf stream)
{
    (void)opaque;
    return ((struct memory_file *)stream)->at;
}

static long seek_memory(voidpf opaque, voidpf stream, ZPOS64_T offset, int origin)
{
    struct memory_file *file = stream;
    (void)opaque;
    size_t from = origin == ZLIB_FILEFUNC_SEEK_CUR   ? file->at
                  : origin == ZLIB_FILEFUNC_SEEK_END ? file->size
                                                     : 0;
    if (from + offset > file->size) {
        return -1;
    }
    file->at = from + (size_t)offset;
    return 0;
}

static int close_memory(voidpf opaque, voidpf stream)
{
    (void)opaque, (void)stream;
    return 0;
}

static int error_memory(voidpf opaque, voidpf stream)
{
    (void)opaque;
    return ((struct memory_file *)stream)->failed;
}

/* ---- what is in it --------------------------------------------------------------------------- */

struct packing {
    zipFile zip;
    zip_fileinfo info;
    const struct report_input *input;
    sample_source *source;
    void *context;
    struct problem *problem;
};

static bool add_bytes(const struct packing *packing, const char *name, const char *bytes,
                      size_t size)
{
    const unsigned part = 1u << 20;
    bool done = zipOpenNewFileInZip(packing->zip, name, &packing->info, NULL, 0, NULL, 0, NULL,
                                    Z_DEFLATED, DEFLATE_LEVEL) == ZIP_OK;
    for (size_t at = 0; done && at < size; at += part) {
        size_t rest = size - at;
        done = zipWriteInFileInZip(packing->zip, bytes + at,
                                   (unsigned)(rest < part ? rest : part)) == ZIP_OK;
    }
    done = done && zipCloseFileInZip(packing->zip) == ZIP_OK;
    return done || problem_set(packing->problem, "%s can't be packed: no memory", name);
}

static bool write_dictionary(FILE *stream, const struct report_input *input,
                             struct problem *problem);

static const char *const schema_lines[] = {package_schema, NULL};

static const struct part {
    const char *name;
    report_writer *write; /* NULL: it wants samples, or is text */
    report_samples_writer *write_with_samples;
    const char *const *text;
    report_columns *columns; /* of a table */
} parts[] = {
    {"README.txt", NULL, NULL, package_readme, NULL},
    {"dictionary.csv", write_dictionary, NULL, NULL, NULL},
    {"setups.csv", report_setups_csv, NULL, NULL, report_setups_columns},
    {"holds.csv", report_holds_csv, NULL, NULL, report_holds_columns},
    {"differences.csv", report_differences_csv, NULL, NULL, report_differences_columns},
    {"ratings.csv", report_ratings_csv, NULL, NULL, report_ratings_columns},
    {"ties.csv", report_ties_csv, NULL, NULL, report_ties_columns},
    {"runs.csv", report_runs_csv, NULL, NULL, report_runs_columns},
    {"drag.csv", report_drag_csv, NULL, NULL, report_drag_columns},
    {"readings.csv", NULL, report_readings_csv, NULL, report_readings_columns},
    {"session.json", report_json, NULL, NULL, NULL},
    {"session.schema.json", NULL, NULL, schema_lines, NULL},
    {"compare.py", NULL, NULL, package_python, NULL},
    {"compare.R", NULL, NULL, package_r, NULL},
    {"drag.py", NULL, NULL, package_drag_python, NULL},
    {"drag.R", NULL, NULL, package_drag_r, NULL},
};
#define PARTS (sizeof parts / sizeof parts[0])

static bool write_dictionary(FILE *stream, const struct report_input *input,
                             struct problem *problem)
{
    struct csv_writer csv;
    (void)input;
    csv_begin(&csv, stream);
    csv_text(&csv, "file");
    csv_text(&csv, "column");
    csv_text(&csv, "unit");
    csv_text(&csv, "meaning");
    csv_row_end(&csv);
    for (size_t i = 0; i < PARTS; i++) {
        if (parts[i].columns != NULL) {
            parts[i].columns(&csv, parts[i].name);
        }
    }
    return !ferror(stream) || problem_set(problem, "the CSV could not be written");
}

static bool write_lines(FILE *stream, const char *const *lines)
{
    for (; *lines != NULL; lines++) {
        fputs(*lines, stream);
    }
    return true;
}

static bool add_part(const struct packing *packing, const struct part *part)
{
    char *bytes = NULL;
    size_t size = 0;
    FILE *memory = open_memstream(&bytes, &size);
    if (memory == NULL) {
        return problem_set(packing->problem, "no memory for %s", part->name);
    }
    bool done = part->text != NULL ? write_lines(memory, part->text)
                : part->write != NULL
                    ? part->write(memory, packing->input, packing->problem)
                    : part->write_with_samples(memory, packing->input, packing->source,
                                               packing->context, packing->problem);
    done = (fclose(memory) == 0 || problem_set(packing->problem, "no memory for %s", part->name)) &&
           done;
    done = done && add_bytes(packing, part->name, bytes, size);
    free(bytes);
    return done;
}

/* The files' time is the session's, so that the same session gives the same bytes. */
static void set_time(zip_fileinfo *info, const struct session_record *record)
{
    time_t started = (time_t)(record->started_ms / 1000);
    struct tm parts_of;
    memset(info, 0, sizeof *info);
    if (gmtime_r(&started, &parts_of) != NULL && parts_of.tm_year >= 80) {
        /* int or unsigned, by minizip's version: what is narrower goes into both */
        info->tmz_date.tm_sec = (uint8_t)parts_of.tm_sec;
        info->tmz_date.tm_min = (uint8_t)parts_of.tm_min;
        info->tmz_date.tm_hour = (uint8_t)parts_of.tm_hour;
        info->tmz_date.tm_mday = (uint8_t)parts_of.tm_mday;
        info->tmz_date.tm_mon = (uint8_t)parts_of.tm_mon;
        info->tmz_date.tm_year = (uint16_t)(parts_of.tm_year + 1900);
    }
}

bool package_write(FILE *stream, const struct report_input *input, sample_source *source,
                   void *context, struct problem *problem)
{
    struct memory_file file = {.bytes = NULL};
    zlib_filefunc64_def functions = {open_memory, read_memory,  write_memory, tell_memory,
                                     seek_memory, close_memory, error_memory, &file};
    struct packing packing = {
        .input = input, .source = source, .context = context, .problem = problem};
    packing.zip = zipOpen2_64("session.zip", APPEND_STATUS_CREATE, NULL, &functions);
    if (packing.zip == NULL) {
        return problem_set(problem, "no memory for an archive");
    }
    set_time(&packing.info, input->record);
    bool done = true;
    for (size_t i = 0; done && i < PARTS; i++) {
        done = add_part(&packing, &parts[i]);
    }
    if (zipClose(packing.zip, NULL) != ZIP_OK || file.failed) {
        done = done && problem_set(problem, "no memory for the archive");
    }
    done = done && (fwrite(file.bytes, 1, file.size, stream) == file.size ||
                    problem_set(problem, "the archive could not be written"));
    free(file.bytes);
    return done;
}
