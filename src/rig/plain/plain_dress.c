/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/plain_dress.h"

#include "base/text.h"
#include "rig/plain_tokens.h"

#include <string.h>

/* Lines of a dress that are enough to go by. */
#define LINES_ENOUGH 4
#define FEET_IN_INCHES 12

static bool is_digit(char character)
{
    return character >= '0' && character <= '9';
}

static bool is_letter(char character)
{
    return (character >= 'a' && character <= 'z') || (character >= 'A' && character <= 'Z');
}

static int hexadecimal(char digit)
{
    if (is_digit(digit)) {
        return digit - '0';
    }
    char lower = (char)(digit | 0x20);
    return lower >= 'a' && lower <= 'f' ? lower - 'a' + 10 : -1;
}

struct writing {
    char *text;
    size_t used, size;
    bool is_full;
};

static void write_piece(struct writing *to, const char *from, size_t length)
{
    if (to->used + length > to->size) {
        to->is_full = true;
        return;
    }
    memcpy(to->text + to->used, from, length);
    to->used += length;
}

static void write_number(struct writing *to, uint64_t number)
{
    char digits[24];
    size_t at = sizeof digits;
    do {
        digits[--at] = (char)('0' + number % 10);
        number /= 10;
    } while (number > 0);
    write_piece(to, digits + at, sizeof digits - at);
}

/* '$NAME,412*HH': what stands between '$' and '*', when the checksum is right. Sentences of the
 * standard's talkers (two letters and three) are no plain numbers. */
static bool open_sentence(struct span *line)
{
    size_t name = 0;
    if (line->length < 5 || (line->text[0] != '$' && line->text[0] != '!') ||
        !dialect_checksum_is_right(line->text, line->length)) {
        return false;
    }
    while (is_letter(line->text[name + 1])) { /* at the latest the '*' is none */
        name++;
    }
    if (name == 0 || (name == 5 && line->text[1] != 'P')) {
        return false;
    }
    *line = span_between(line->text + 1, line->text + line->length - 3);
    return true;
}

/* '$NAME,412' of a board that makes no checksum: what stands behind the '$'. The standard's talkers
 * have five letters. */
static bool open_unchecked(struct span *line)
{
    size_t name = 0;
    while (name + 1 < line->length && is_letter(line->text[name + 1])) {
        name++;
    }
    if (name == 0 || name == 5 || name + 1 >= line->length || line->text[0] != '$' ||
        line->text[name + 1] != ',' || memchr(line->text, '*', line->length) != NULL) {
        return false;
    }
    *line = span_between(line->text + 1, line->text + line->length);
    return true;
}

/* Hexadecimal numbers as decimal ones; marked: only behind '0x'. */
static void write_hexadecimal(struct span line, bool marked, struct writing *to)
{
    const char *end = line.text + line.length;
    for (const char *at = line.text; at < end;) {
        bool has_mark = end - at > 2 && at[0] == '0' && (at[1] | 0x20) == 'x';
        const char *figures = at + (has_mark ? 2 : 0);
        const char *stop = figures;
        uint64_t number = 0;
        bool begins = at == line.text || (!is_letter(at[-1]) && !is_digit(at[-1]));
        while (begins && (has_mark || !marked) && stop < end && hexadecimal(*stop) >= 0 &&
               stop - figures < 16) {
            number = number * 16 + (uint64_t)hexadecimal(*stop++);
        }
        bool whole = stop > figures && (stop == end || (!is_letter(*stop) && !is_digit(*stop)));
        if (whole) {
            write_number(to, number);
            at = stop;
        } else {
            write_piece(to, at++, 1);
        }
    }
}

static void write_points(struct span line, struct writing *to)
{
    for (size_t i = 0; i < line.length; i++) {
        bool point = line.text[i] == ',' && i > 0 && i + 1 < line.length &&
                     is_digit(line.text[i - 1]) && is_digit(line.text[i + 1]);
        write_piece(to, point ? "." : line.text + i, 1);
    }
}

/* A blank between letters and the figures right behind them, and before letters behind figures. */
static void write_apart(struct span line, struct writing *to)
{
    for (size_t i = 0; i < line.length; i++) {
        char here = line.text[i];
        char before = i > 0 ? line.text[i - 1] : ' ';
        if ((is_digit(here) && is_letter(before)) || (is_letter(here) && is_digit(before))) {
            write_piece(to, " ", 1);
        }
        write_piece(to, &here, 1);
    }
}

/* Feet and inches at a place of a line: the byte behind them, or NULL. hundredths of an inch. */
static const char *read_feet(struct span line, const char *text, uint64_t *inch_hundredths)
{
    struct decimal feet, inches;
    int64_t hundredths = 0;
    const char *end = line.text + line.length;
    bool begins = text == line.text || (!is_digit(text[-1]) && text[-1] != '.');
    const char *at = begins && is_digit(*text) ? decimal_read(text, end, false, &feet) : NULL;
    if (at == NULL || at == end || *at != '\'' || feet.decimals > 0 || feet.mantissa > 1000) {
        return NULL;
    }
    *inch_hundredths = feet.mantissa * FEET_IN_INCHES * 100;
    for (at++; at < end && *at == ' '; at++) {
    }
    if (at == end || !is_digit(*at)) {
        return at;
    }
    const char *stop = decimal_read(at, end, false, &inches);
    if (!decimal_scale(&inches, 100, FEET_IN_INCHES * 100, &hundredths)) {
        return NULL;
    }
    *inch_hundredths += (uint64_t)hundredths;
    while (stop < end && (*stop == '"' || *stop == '\'')) {
        stop++;
    }
    return stop;
}

static void write_inches(struct span line, struct writing *to)
{
    const char *end = line.text + line.length;
    for (const char *at = line.text; at < end;) {
        uint64_t hundredths;
        const char *stop = read_feet(line, at, &hundredths);
        if (stop == NULL) {
            write_piece(to, at++, 1);
            continue;
        }
        char part[2] = {(char)('0' + hundredths / 10 % 10), (char)('0' + hundredths % 10)};
        write_number(to, hundredths / 100);
        write_piece(to, ".", 1);
        write_piece(to, part, 2);
        at = stop;
    }
}

bool plain_dress(struct span *line, unsigned dress, char *scratch, size_t size)
{
    struct writing to = {.text = scratch, .size = size};
    if (dress == DRESS_NONE) {
        return true;
    }
    if ((dress & DRESS_SENTENCE) != 0) {
        return open_sentence(line);
    }
    if ((dress & DRESS_UNCHECKED) != 0) {
        return open_unchecked(line);
    }
    if ((dress & (DRESS_HEXADECIMAL | DRESS_ALL_HEXADECIMAL)) != 0) {
        write_hexadecimal(*line, (dress & DRESS_HEXADECIMAL) != 0, &to);
    } else if ((dress & DRESS_COMMA) != 0) {
        write_points(*line, &to);
    } else if ((dress & DRESS_LETTERS) != 0) {
        write_apart(*line, &to);
    } else {
        write_inches(*line, &to);
    }
    if (to.is_full) {
        return false;
    }
    *line = span_between(scratch, scratch + to.used);
    return true;
}

bool plain_has_feet(struct span line)
{
    const char *end = line.text + line.length;
    for (const char *at = line.text; at < end; at++) {
        uint64_t hundredths;
        if (read_feet(line, at, &hundredths) != NULL) {
            return true;
        }
    }
    return false;
}

/* Nothing but hexadecimal figures; *tells: a letter stands where 'A412' has none. */
static bool is_hexadecimal(struct span line, bool *tells)
{
    bool figure = false;
    for (size_t i = 0; i < line.length; i++) {
        bool between = strchr(" ,;\t:", line.text[i]) != NULL;
        if (!between && hexadecimal(line.text[i]) < 0) {
            return false;
        }
        bool first = i == 0 || hexadecimal(line.text[i - 1]) < 0;
        if (i > 0 && line.text[i] == 'b' && line.text[i - 1] == '0' &&
            (i == 1 || hexadecimal(line.text[i - 2]) < 0)) {
            return false; /* '0b0001' */
        }
        *tells = *tells || (is_letter(line.text[i]) && !first);
        figure = figure || is_digit(line.text[i]);
    }
    return figure;
}

bool plain_are_hexadecimal(const struct held_lines *held)
{
    int lines = 0, figures = 0, telling = 0;
    for (int i = 0; i < held->count; i++) {
        char scratch[DECODER_LINE_MAX];
        struct span line = {held->bytes + held->line[i].start, held->line[i].length};
        bool tells = false;
        if (!plain_prepare(&line, scratch, sizeof scratch) || line.length == 0) {
            continue;
        }
        lines++;
        figures += is_hexadecimal(line, &tells) ? 1 : 0;
        telling += tells ? 1 : 0;
    }
    return lines >= LINES_ENOUGH && 10 * figures >= 9 * lines && 5 * telling >= lines;
}

/* Only words of letters with two to six figures behind them. */
static bool is_letters(struct span line)
{
    const char *end = line.text + line.length;
    int words = 0;
    for (const char *at = line.text; at < end;) {
        const char *letters = at;
        while (at < end && is_letter(*at)) {
            at++;
        }
        const char *figures = at;
        while (at < end && is_digit(*at)) {
            at++;
        }
        if (figures == letters || figures - letters > 6 || at - figures < 2 || at - figures > 6) {
            return false;
        }
        words++;
        if (at + 1 < end && *at == '.' && is_digit(at[1])) {
            for (at++; at < end && is_digit(*at); at++) {
            }
        }
        while (at < end && strchr(" ,;\t|", *at) != NULL) {
            at++;
        }
    }
    return words > 0;
}

/* How a line's commas look: -1 they cannot be points, 0 there are none, else the figures behind. */
static int commas_of(struct span line, bool *alone)
{
    int behind = 0;
    int commas = 0;
    *alone = true;
    for (size_t i = 0; i < line.length; i++) {
        char here = line.text[i];
        bool inside = i > 0 && i + 1 < line.length && is_digit(line.text[i - 1]) &&
                      is_digit(line.text[i + 1]);
        *alone = *alone && (is_digit(here) || strchr(", ()[]{}<>\"'", here) != NULL);
        if (here == ';' || here == '\t' || (here == '.' && inside) || (here == ',' && !inside)) {
            return -1;
        }
        if (here != ',') {
            continue;
        }
        size_t stop = i + 1;
        while (stop < line.length && is_digit(line.text[stop])) {
            stop++;
        }
        int figures = (int)(stop - i - 1);
        if ((stop < line.length && line.text[stop] == ',') || (behind != 0 && behind != figures)) {
            return -1;
        }
        behind = figures;
        commas++;
    }
    *alone = *alone && commas == 1;
    return behind;
}

struct comma_seen {
    int lines, figures;
    bool differ, alone, zero_behind;
    unsigned last_figures; /* the last figures seen, a bit each */
    char before[4];        /* the figures before the last comma */
    bool before_stays;     /* two lines in a row had the same */
};

/* The figures before a comma take turns from line to line, as sensors' numbers do ('DIST:1,412')
 * and a range's metres don't. */
static void see_before(struct comma_seen *seen, const char *comma, const char *begin)
{
    char before[sizeof seen->before] = "";
    const char *from = comma;
    while (from > begin && is_digit(from[-1])) {
        from--;
    }
    if ((size_t)(comma - from) < sizeof before) {
        memcpy(before, from, (size_t)(comma - from));
    }
    seen->before_stays =
        seen->before_stays || before[0] == '\0' || memcmp(before, seen->before, sizeof before) == 0;
    memcpy(seen->before, before, sizeof before);
}

static void see_commas(struct comma_seen *seen, struct span line)
{
    bool alone = true;
    int figures = commas_of(line, &alone);
    seen->differ = seen->differ || figures < 0 || (seen->lines > 0 && figures != seen->figures);
    seen->alone = seen->alone || alone;
    seen->figures = figures;
    const char *comma = memchr(line.text, ',', line.length);
    if (comma != NULL && figures > 0) {
        see_before(seen, comma, line.text);
        seen->last_figures |= 1U << (unsigned)(comma[figures] - '0');
        seen->zero_behind = seen->zero_behind || (figures == 2 && comma[1] == '0');
    }
    seen->lines++;
}

/* Commas that are points: between figures, always as many behind. A lone '412,5' might be two
 * numbers: it is one when the figure behind takes many values, as tenths do and codes don't. */
static bool are_points(const struct comma_seen *seen)
{
    int kinds = 0;
    for (unsigned bit = 0; bit < 10; bit++) {
        kinds += (seen->last_figures >> bit & 1U) != 0 ? 1 : 0;
    }
    if (seen->differ || seen->figures < 1 || seen->figures > 3) {
        return false;
    }
    if (!seen->alone) {
        return seen->figures < 3 || seen->before_stays;
    }
    return kinds >= 3 && (seen->figures == 1 || (seen->figures == 2 && seen->zero_behind));
}

unsigned plain_dress_of(const struct held_lines *held, const struct decoder_options *options)
{
    int lines = 0, sentences = 0, unchecked = 0, letters = 0, marked = 0, numbers = 0;
    struct comma_seen commas = {.lines = 0};
    if (options->hexadecimal) {
        return DRESS_ALL_HEXADECIMAL;
    }
    if (text_equal(options->unit, "ft-in")) {
        return DRESS_FEET;
    }
    for (int i = 0; i < held->count; i++) {
        char scratch[DECODER_LINE_MAX];
        struct span line = {held->bytes + held->line[i].start, held->line[i].length};
        struct span inside;
        if (!plain_prepare(&line, scratch, sizeof scratch) || line.length == 0 ||
            !plain_has_digit(line)) {
            continue;
        }
        inside = line;
        lines++;
        sentences += open_sentence(&inside) ? 1 : 0;
        inside = line;
        unchecked += open_unchecked(&inside) ? 1 : 0;
        letters += is_letters(line) ? 1 : 0;
        marked += span_contains(line, "0x") ? 1 : 0;
        numbers += plain_shape_of(line).columns > 0 ? 1 : 0;
        see_commas(&commas, line);
    }
    return lines < LINES_ENOUGH                         ? DRESS_NONE
           : sentences * 2 > lines                      ? DRESS_SENTENCE
           : unchecked == lines                         ? DRESS_UNCHECKED
           : letters * 2 > lines && numbers * 4 < lines ? DRESS_LETTERS
           : marked * 2 > lines && numbers * 4 < lines  ? DRESS_HEXADECIMAL
           : are_points(&commas)                        ? DRESS_COMMA
                                                        : DRESS_NONE;
}
