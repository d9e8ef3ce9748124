/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/recorded_disk.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#define FILES_MAX 256
#define DESCRIPTORS 1024
#define NAME_SIZE 64
#define SECTOR 512

enum note_kind { MADE, REMOVED, WRITTEN, CUT_TO, SYNCED, FOLDER_SYNCED, PROMISED };

struct note {
    enum note_kind kind;
    int file;
    off_t offset; /* CUT_TO: the new size; PROMISED: the value */
    size_t size;
    unsigned char *bytes;
};

/* A file is what was made at a name: made anew after it was removed it is another. */
struct file {
    char name[NAME_SIZE];
    unsigned char *before; /* on the disk from the beginning; NULL: made since */
    size_t before_size;
};

#define IS_FOLDER FILES_MAX /* as the file of a descriptor */

static struct {
    bool on;
    char folder[512];
    struct note *note;
    int count, capacity;
    struct file file[FILES_MAX];
    int files;
    int of_descriptor[DESCRIPTORS]; /* file + 1; 0: none of ours */
} disk;

static void end(const char *what)
{
    perror(what);
    exit(EXIT_FAILURE);
}

static void *room(void *old, size_t size)
{
    void *given = realloc(old, size > 0 ? size : 1);
    if (given == NULL) {
        end("recorded disk");
    }
    return given;
}

static struct note *note(enum note_kind kind, int file)
{
    if (disk.count == disk.capacity) {
        disk.capacity = disk.capacity == 0 ? 1024 : 2 * disk.capacity;
        disk.note = room(disk.note, (size_t)disk.capacity * sizeof *disk.note);
    }
    disk.note[disk.count] = (struct note){.kind = kind, .file = file};
    return &disk.note[disk.count++];
}

/* ---- noting ------------------------------------------------------------------------------------
 */

/* The name in the folder; NULL where the path leads elsewhere, "" for the folder. */
static const char *name_in_folder(const char *path)
{
    size_t length = strlen(disk.folder);
    if (!disk.on || strncmp(path, disk.folder, length) != 0 ||
        (path[length] != '/' && path[length] != '\0')) {
        return NULL;
    }
    return path[length] == '/' ? path + length + 1 : "";
}

/* The latest file of the name, or -1. */
static int find_file(const char *name)
{
    for (int i = disk.files - 1; i >= 0; i--) {
        if (strcmp(disk.file[i].name, name) == 0) {
            return i;
        }
    }
    return -1;
}

static int new_file(const char *name)
{
    if (disk.files == FILES_MAX) {
        end("recorded disk: too many files");
    }
    snprintf(disk.file[disk.files].name, NAME_SIZE, "%s", name);
    return disk.files++;
}

static void take_before(const char *name)
{
    char path[1024];
    struct stat status;
    snprintf(path, sizeof path, "%s/%s", disk.folder, name);
    FILE *stream = fopen(path, "rb");
    if (stream == NULL || fstat(fileno(stream), &status) != 0) {
        end(path);
    }
    struct file *file = &disk.file[new_file(name)];
    file->before = room(NULL, (size_t)status.st_size);
    file->before_size = fread(file->before, 1, (size_t)status.st_size, stream);
    fclose(stream);
}

void recorded_disk_begin(const char *folder)
{
    snprintf(disk.folder, sizeof disk.folder, "%s", folder);
    DIR *listing = opendir(folder);
    if (listing == NULL) {
        end(folder);
    }
    for (struct dirent *entry = readdir(listing); entry != NULL; entry = readdir(listing)) {
        if (entry->d_name[0] != '.') {
            take_before(entry->d_name);
        }
    }
    closedir(listing);
    disk.on = true;
}

void recorded_disk_end(void)
{
    disk.on = false;
}

void recorded_disk_promise(int64_t value)
{
    note(PROMISED, 0)->offset = value;
}

void recorded_disk_opened(int descriptor, const char *path, bool made, bool emptied)
{
    const char *name = name_in_folder(path);
    if (name == NULL || descriptor < 0 || descriptor >= DESCRIPTORS) {
        return;
    }
    int file = name[0] == '\0' ? IS_FOLDER : find_file(name);
    if (made || file < 0) {
        file = new_file(name);
        note(MADE, file);
    } else if (emptied) {
        note(CUT_TO, file);
    }
    disk.of_descriptor[descriptor] = file + 1;
}

static int file_of(int descriptor)
{
    return disk.on && descriptor >= 0 && descriptor < DESCRIPTORS
               ? disk.of_descriptor[descriptor] - 1
               : -1;
}

void recorded_disk_closed(int descriptor)
{
    if (descriptor >= 0 && descriptor < DESCRIPTORS) {
        disk.of_descriptor[descriptor] = 0;
    }
}

void recorded_disk_written(int descriptor, const void *bytes, size_t size, int64_t offset)
{
    int file = file_of(descriptor);
    if (file >= 0) {
        struct note *written = note(WRITTEN, file);
        written->offset = offset;
        written->size = size;
        written->bytes = room(NULL, size);
        memcpy(written->bytes, bytes, size);
    }
}

void recorded_disk_cut_to(int descriptor, int64_t size)
{
    int file = file_of(descriptor);
    if (file >= 0) {
        note(CUT_TO, file)->offset = size;
    }
}

void recorded_disk_synced(int descriptor)
{
    int file = file_of(descriptor);
    if (file >= 0) {
        note(file == IS_FOLDER ? FOLDER_SYNCED : SYNCED, file);
    }
}

void recorded_disk_removed(const char *path)
{
    const char *name = name_in_folder(path);
    int file = name != NULL ? find_file(name) : -1;
    if (file >= 0) {
        note(REMOVED, file);
    }
}

int recorded_disk_notes(void)
{
    return disk.count;
}

bool recorded_disk_is_sync(int at)
{
    return disk.note[at].kind == SYNCED || disk.note[at].kind == FOLDER_SYNCED;
}

int64_t recorded_disk_promised(int at)
{
    for (int i = at - 1; i >= 0; i--) {
        if (disk.note[i].kind == PROMISED) {
            return disk.note[i].offset;
        }
    }
    return -1;
}

/* ---- after the cut -----------------------------------------------------------------------------
 */

struct image {
    unsigned char *bytes;
    size_t size;
};

static void set_size(struct image *image, size_t size)
{
    image->bytes = room(image->bytes, size);
    if (size > image->size) {
        memset(image->bytes + image->size, 0, size - image->size);
    }
    image->size = size;
}

static void put(struct image *image, const struct note *written, size_t from, size_t to)
{
    size_t end_of = (size_t)written->offset + to;
    if (end_of > image->size) {
        set_size(image, end_of);
    }
    memcpy(image->bytes + written->offset + from, written->bytes + from, to - from);
}

static bool chance(const struct power_cut *cut, double share)
{
    return random_uniform(cut->random) < share;
}

/* Of a write that was not synced, those sectors that the disk had come to. */
static void put_in_part(struct image *image, const struct note *written,
                        const struct power_cut *cut, double share)
{
    for (size_t from = 0; from < written->size; from += SECTOR) {
        size_t to = from + SECTOR < written->size ? from + SECTOR : written->size;
        if (chance(cut, share)) {
            put(image, written, from, to);
        }
    }
}

static void apply(struct image *image, const struct note *done, const struct power_cut *cut,
                  double share)
{
    if (done->kind == CUT_TO && (share >= 1.0 || chance(cut, share))) {
        set_size(image, (size_t)done->offset);
    } else if (done->kind == WRITTEN && share >= 1.0) {
        put(image, done, 0, done->size);
    } else if (done->kind == WRITTEN) {
        put_in_part(image, done, cut, share);
    }
}

/* The last sync before the cut, or -1. */
static int last_sync(const struct power_cut *cut, enum note_kind kind, int file)
{
    for (int i = cut->at - 1; i >= 0 && !cut->lies; i--) {
        if (disk.note[i].kind == kind && (kind == FOLDER_SYNCED || disk.note[i].file == file)) {
            return i;
        }
    }
    return -1;
}

/* Nothing of what was not synced, all of it, or some. */
static double share_of(const struct power_cut *cut)
{
    static const double shares[] = {0.0, 0.5, 0.9, 1.0};
    return shares[(int)(random_uniform(cut->random) * 4)];
}

static struct image image_of(const struct power_cut *cut, int file)
{
    const struct file *of = &disk.file[file];
    struct image image = {room(NULL, of->before_size), of->before_size};
    int synced = last_sync(cut, SYNCED, file);
    double share = share_of(cut);
    bool backwards = chance(cut, 0.3);
    if (of->before_size > 0) {
        memcpy(image.bytes, of->before, of->before_size);
    }
    for (int i = 0; i < synced; i++) {
        if (disk.note[i].file == file) {
            apply(&image, &disk.note[i], cut, 1.0);
        }
    }
    int first = synced < 0 ? 0 : synced;
    for (int n = first; n < cut->at; n++) {
        const struct note *done = &disk.note[backwards ? cut->at - 1 - (n - first) : n];
        if (done->file == file) {
            apply(&image, done, cut, share);
        }
    }
    return image;
}

/* Which files have a name: what was done to the folder since its last sync is there up to some
 * moment, as file systems note it in its order. */
static void find_names(const struct power_cut *cut, bool named[FILES_MAX])
{
    int synced = last_sync(cut, FOLDER_SYNCED, 0);
    int until = synced + 1 + (int)(random_uniform(cut->random) * (cut->at - synced));
    for (int i = 0; i < disk.files; i++) {
        named[i] = disk.file[i].before != NULL;
    }
    for (int i = 0; i < until && i < cut->at; i++) {
        if (disk.note[i].kind == MADE || disk.note[i].kind == REMOVED) {
            named[disk.note[i].file] = disk.note[i].kind == MADE;
        }
    }
}

void recorded_disk_image(const struct power_cut *cut, const char *folder)
{
    bool named[FILES_MAX];
    char command[700];
    snprintf(command, sizeof command, "rm -rf '%s' && mkdir -m 700 '%s'", folder, folder);
    if (system(command) != 0) {
        end(command);
    }
    find_names(cut, named);
    for (int i = 0; i < disk.files; i++) {
        if (!named[i]) {
            continue;
        }
        char path[700];
        struct image image = image_of(cut, i);
        snprintf(path, sizeof path, "%s/%s", folder, disk.file[i].name);
        FILE *stream = fopen(path, "wb");
        if (stream == NULL || fwrite(image.bytes, 1, image.size, stream) != image.size ||
            fclose(stream) != 0) {
            end(path);
        }
        free(image.bytes);
    }
}
