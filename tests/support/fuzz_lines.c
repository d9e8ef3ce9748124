/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/fuzz_lines.h"

#include "base/random.h"
#include "base/text.h"

#include <dirent.h>
#include <stdio.h>
#include <string.h>

#define KNOWN_MOST 1000
#define LINE_SIZE 4000

static char known[KNOWN_MOST][LINE_SIZE];
static int known_count;

bool fuzz_lines_know(const char *line)
{
    if (known_count == KNOWN_MOST || strlen(line) >= LINE_SIZE) {
        return false;
    }
    text_copy(known[known_count++], LINE_SIZE, line);
    return true;
}

static int know_file(const char *path)
{
    FILE *file = fopen(path, "rb");
    char line[LINE_SIZE];
    int count = 0;
    while (file != NULL && fgets(line, sizeof line, file) != NULL) {
        line[strcspn(line, "\n")] = '\0';
        count += fuzz_lines_know(line);
    }
    if (file != NULL) {
        fclose(file);
    }
    return count;
}

int fuzz_lines_know_folder(const char *folder)
{
    int count = 0;
    DIR *files = opendir(folder);
    for (const struct dirent *entry = files != NULL ? readdir(files) : NULL; entry != NULL;
         entry = readdir(files)) {
        char path[1024];
        snprintf(path, sizeof path, "%s/%s", folder, entry->d_name);
        count += entry->d_name[0] != '.' ? know_file(path) : 0;
    }
    if (files != NULL) {
        closedir(files);
    }
    return count;
}

/* ---- a line of the input -----------------------------------------------------------------------
 */

struct piece {
    size_t at, length; /* its end of line with it */
};

static int pick(struct random_source *random, int count)
{
    int picked = (int)(random_uniform(random) * count);
    return picked < count ? picked : count - 1;
}

static struct piece pick_line(struct random_source *random, const uint8_t *bytes, size_t length)
{
    int lines = 0;
    struct piece piece = {0, 0};
    for (size_t i = 0; i < length; i++) {
        lines += bytes[i] == '\n' || i + 1 == length;
    }
    if (lines == 0) {
        return piece;
    }
    for (int left = pick(random, lines); left > 0; piece.at++) {
        left -= bytes[piece.at] == '\n';
    }
    const uint8_t *end = memchr(bytes + piece.at, '\n', length - piece.at);
    piece.length = (end != NULL ? (size_t)(end - bytes) + 1 : length) - piece.at;
    return piece;
}

/* Puts a text in the place of a piece; what has no room leaves the input as it was. */
static size_t put(uint8_t *bytes, size_t length, size_t most, struct piece piece, const char *text,
                  size_t text_length)
{
    size_t now = length - piece.length + text_length;
    if (now > most) {
        return length;
    }
    memmove(bytes + piece.at + text_length, bytes + piece.at + piece.length,
            length - piece.at - piece.length);
    memcpy(bytes + piece.at, text, text_length);
    return now;
}

static bool ends_word(char c)
{
    return c == ' ' || c == ',' || c == '\n';
}

static int count_words(const char *text, size_t length)
{
    int count = 1;
    for (size_t i = 0; i < length; i++) {
        count += ends_word(text[i]);
    }
    return count;
}

/* The word behind so many others; the last where there are fewer. */
static struct piece word_of_line(const char *text, size_t length, int place)
{
    struct piece word = {0, 0};
    for (size_t i = 0; i < length && place > 0; i++) {
        if (ends_word(text[i])) {
            word.at = i + 1;
            place--;
        }
    }
    while (word.at + word.length < length && !ends_word(text[word.at + word.length])) {
        word.length++;
    }
    return word;
}

/* A word of it, by one of another line's: half of the time by the one in the same place. */
static size_t change_word(struct random_source *random, uint8_t *bytes, size_t length, size_t most,
                          struct piece line, const char *other)
{
    const char *text = (const char *)bytes + line.at;
    int place = pick(random, count_words(text, line.length));
    int from = pick(random, 2) == 0 ? place : pick(random, count_words(other, strlen(other)));
    struct piece word = word_of_line(text, line.length, place);
    struct piece by = word_of_line(other, strlen(other), from);
    word.at += line.at;
    return put(bytes, length, most, word, other + by.at, by.length);
}

static size_t swap(struct random_source *random, uint8_t *bytes, size_t length, size_t most,
                   struct piece line)
{
    char text[LINE_SIZE];
    if (line.length >= sizeof text) {
        return length;
    }
    memcpy(text, bytes + line.at, line.length);
    size_t without = put(bytes, length, most, line, "", 0);
    struct piece before = pick_line(random, bytes, without);
    before.length = 0;
    return put(bytes, without, most, before, text, line.length);
}

size_t fuzz_lines_change(uint8_t *bytes, size_t length, size_t most, uint64_t seed)
{
    struct random_source random;
    char text[LINE_SIZE + 1] = "\n";
    random_seed(&random, seed);
    const char *other = known_count > 0 ? known[pick(&random, known_count)] : "";
    struct piece line = pick_line(&random, bytes, length);
    switch (pick(&random, 6)) {
    case 0:
        return put(bytes, length, most, line, "", 0);
    case 1: /* said twice */
        if (line.length < sizeof text) {
            memcpy(text, bytes + line.at, line.length);
            return put(bytes, length, most, (struct piece){line.at, 0}, text, line.length);
        }
        return length;
    case 2:
        return swap(&random, bytes, length, most, line);
    case 3:
        return change_word(&random, bytes, length, most, line, other);
    case 4: /* before it */
        line.length = 0;
        break;
    default: /* in its place */
        break;
    }
    snprintf(text, sizeof text, "%s\n", other);
    return put(bytes, length, most, line, text, strlen(text));
}
