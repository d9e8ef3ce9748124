/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/boards.h"

#include "base/text.h"
#include "rig/decoder_options.h"
#include "rig/device.h"
#include "rig/serial_ports.h"
#include "store/store.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define LINE_SIZE 2048
#define BOARDS_MOST 200 /* lines that are kept; the oldest go */
#define KEY_SIZE 400
#define BIRTH_MARK " made "

/* The file; make: its folder too. */
static bool path_of(char *path, size_t size, bool make, struct problem *problem)
{
    char store[PATH_MAX];
    if (!store_default_path(store, sizeof store, problem)) {
        return false;
    }
    for (char *slash = strchr(store + 1, '/'); make && slash != NULL;
         slash = strchr(slash + 1, '/')) {
        *slash = '\0';
        bool there = mkdir(store, 0700) == 0 || errno == EEXIST;
        if (!there) {
            return problem_set(problem, "the folder %s can't be made: %s", store, strerror(errno));
        }
        *slash = '/';
    }
    char *last = strrchr(store, '/');
    size_t used = 0;
    if (last != NULL) {
        *last = '\0';
    }
    text_append(path, size, &used, "%s/boards", last != NULL ? store : ".");
    return true;
}

/* A pseudo-terminal's name goes to whoever opens the next one: it is known by when it was made.
 */
static void add_birth(const char *device, char key[KEY_SIZE], size_t *used)
{
    struct stat status;
    if (device_is_pseudo_terminal(device) && stat(device, &status) == 0) {
        text_append(key, KEY_SIZE, used, "%s%lld.%09ld", BIRTH_MARK,
                    (long long)status.st_ctim.tv_sec, status.st_ctim.tv_nsec);
    }
}

/* By what a device is known; "" for what is no device. */
static void key_of(const char *spec, char key[KEY_SIZE])
{
    const char *path = text_starts_with(spec, "serial:") ? spec + 7
                       : text_starts_with(spec, "tty:")  ? spec + 4
                                                         : spec;
    char target[PATH_MAX];
    char device[PATH_MAX];
    size_t used = 0;
    key[0] = '\0';
    text_copy(target, sizeof target, path);
    char *mark = strrchr(target, '?');
    if (mark != NULL) {
        *mark = '\0';
    }
    if (!text_starts_with(target, "/dev/") || realpath(target, device) == NULL) {
        return;
    }
    struct serial_port *ports = calloc(SERIAL_PORTS_MAX, sizeof *ports);
    int count = ports != NULL ? serial_ports_list(ports, SERIAL_PORTS_MAX, NULL) : 0;
    for (int i = 0; i < count && key[0] == '\0'; i++) {
        if (ports[i].is_usb && text_equal(ports[i].device, device)) {
            text_append(key, KEY_SIZE, &used, "usb:%04x:%04x:%s", (unsigned)ports[i].vendor,
                        (unsigned)ports[i].product, ports[i].serial_number);
        }
    }
    free(ports);
    if (key[0] == '\0') {
        text_append(key, KEY_SIZE, &used, "%s", device);
        add_birth(device, key, &used);
    }
    for (char *at = key; *at != '\0'; at++) {
        *at = *at == '\t' || *at == '\n' ? ' ' : *at;
    }
}

/* 'key <tab> baud <tab> options' */
static bool read_line(char *line, const char *key, struct board *board)
{
    char *fields[3] = {line, NULL, NULL};
    for (int i = 1; i < 3; i++) {
        char *tab = strchr(fields[i - 1], '\t');
        if (tab == NULL) {
            return false;
        }
        *tab = '\0';
        fields[i] = tab + 1;
    }
    fields[2][strcspn(fields[2], "\n")] = '\0';
    memset(board, 0, sizeof *board);
    return text_equal(fields[0], key) && text_to_double(fields[1], &board->baud) &&
           decoder_options_read(&board->options, fields[2], NULL);
}

bool boards_recall(const char *spec, struct board *board)
{
    char path[PATH_MAX + 16], key[KEY_SIZE], line[LINE_SIZE];
    bool found = false;
    memset(board, 0, sizeof *board);
    key_of(spec, key);
    FILE *file =
        key[0] != '\0' && path_of(path, sizeof path, false, NULL) ? fopen(path, "re") : NULL;
    while (file != NULL && fgets(line, sizeof line, file) != NULL) {
        struct board read;
        if (read_line(line, key, &read)) {
            *board = read;
            found = true;
        }
    }
    if (file != NULL) {
        fclose(file);
    }
    return found;
}

/* A whole line, of another board than the one with so much of its key. */
static bool is_other(const char *line, const char *key, size_t length)
{
    bool same = strncmp(line, key, length) == 0 &&
                (line[length] == '\t' || text_starts_with(line + length, BIRTH_MARK));
    return !same && strchr(line, '\n') != NULL;
}

/* The lines of other boards into the new file, the oldest left out where there are too many. */
static void copy_others(const char *path, const char *key, FILE *to)
{
    char line[LINE_SIZE];
    /* One of that name that was there before goes. */
    const char *birth = text_starts_with(key, "/dev/") ? strstr(key, BIRTH_MARK) : NULL;
    size_t length = birth != NULL ? (size_t)(birth - key) : strlen(key);
    FILE *from = fopen(path, "re");
    if (from == NULL) {
        return;
    }
    int lines = 0, passed = 0;
    while (fgets(line, sizeof line, from) != NULL) {
        lines += is_other(line, key, length) ? 1 : 0;
    }
    rewind(from);
    while (fgets(line, sizeof line, from) != NULL) {
        /* The new board's own line is one of them, too. */
        if (is_other(line, key, length) && ++passed > lines - (BOARDS_MOST - 1)) {
            fputs(line, to);
        }
    }
    fclose(from);
}

/* The file anew: the others' lines, and this one. "" = none. */
static bool write_anew(const char *path, const char *key, const char *line, struct problem *problem)
{
    char fresh[PATH_MAX + 32];
    size_t used = 0;
    text_append(fresh, sizeof fresh, &used, "%s.%ld", path, (long)getpid());
    int descriptor = open(fresh, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
    FILE *file = descriptor >= 0 ? fdopen(descriptor, "w") : NULL;
    if (file == NULL) {
        if (descriptor >= 0) {
            close(descriptor);
            unlink(fresh);
        }
        return problem_set(problem, "%s can't be written: %s", fresh, strerror(errno));
    }
    copy_others(path, key, file);
    fputs(line, file);
    bool written = fflush(file) == 0 && !ferror(file);
    written = fclose(file) == 0 && written;
    if (!written || rename(fresh, path) != 0) {
        int error = errno;
        unlink(fresh);
        return problem_set(problem, "%s can't be written: %s", path, strerror(error));
    }
    return true;
}

bool boards_keep(const char *spec, const struct board *board, struct problem *problem)
{
    char path[PATH_MAX + 16], key[KEY_SIZE], options[LINE_SIZE / 2], baud[40], line[LINE_SIZE];
    size_t used = 0;
    key_of(spec, key);
    if (key[0] == '\0') {
        return problem_set(problem, "'%s' is no device: nothing is kept of it", spec);
    }
    decoder_options_words(&board->options, options, sizeof options);
    text_from_double_shortest(baud, sizeof baud, board->baud);
    text_append(line, sizeof line, &used, "%s\t%s\t%s\n", key, baud, options);
    return path_of(path, sizeof path, true, problem) && write_anew(path, key, line, problem);
}

bool boards_forget(const char *spec, struct problem *problem)
{
    char path[PATH_MAX + 16], key[KEY_SIZE];
    struct board board;
    key_of(spec, key);
    if (!boards_recall(spec, &board)) {
        return problem_set(problem, "nothing is kept of '%s'", spec);
    }
    return path_of(path, sizeof path, false, problem) && write_anew(path, key, "", problem);
}
