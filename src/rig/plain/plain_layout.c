/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/plain_layout.h"

#include "base/text.h"
#include "plain_guess.h"
#include "plain_keys.h"
#include "plain_status.h"
#include "rig/plain_columns.h"
#include "rig/plain_dress.h"
#include "rig/plain_words.h"

#include <string.h>

/* Lines of one shape in a row that are enough to go by. A lone number a line is unmistakable; text
 * around numbers may still be what a board says while it starts; several numbers without a heading
 * are watched for a column that counts time. */
#define LINES_OF_A_NUMBER 2
#define LINES_UNDER_A_HEADING 3
#define LINES_WITH_TEXT 4
#define LINES_UNNAMED 8
/* Waited for where a column or a label may tell sensors apart: by then each has come twice. */
#define KEYED_LINES_MOST (2 * CHANNELS_MAX)
#define LABELLED_LINES_MOST (2 * PLAIN_KEYS_MAX)

enum line_kind {
    LINE_FOREIGN, /* another dialect's, or noise */
    LINE_COMMENT, /* says nothing: a comment, a rule between blocks, words for no reading */
    LINE_TEXT,
    LINE_DATA,
};

struct looked_at {
    enum line_kind kind;
    bool only_a_number;
    bool has_labels; /* words before numbers: it needs no heading, and has none */
    struct plain_shape shape;
};

static struct span held_line(const struct held_lines *held, int index)
{
    struct span line = {held->bytes + held->line[index].start, held->line[index].length};
    return line;
}

static bool begins_with(struct span line, const char *start)
{
    size_t length = strlen(start);
    return line.length >= length && memcmp(line.text, start, length) == 0;
}

/* '---': a rule between blocks of lines. */
static bool is_a_rule(struct span line)
{
    return !plain_has_letter(line) && !plain_has_digit(line);
}

/* A page of markup: none of it is a reading. */
static bool is_markup(struct span line)
{
    return line.length > 1 && line.text[0] == '<' &&
           (line.text[1] == '!' || line.text[1] == '?' || line.text[1] == '/' ||
            span_contains(line, "</") || span_contains(line, "/>") || span_contains(line, "<html"));
}

/* The line prepared and dressed, in one of the two scratches where it changes. */
struct scratches {
    char first[DECODER_LINE_MAX], second[DECODER_LINE_MAX];
};

static bool undress(struct span *line, unsigned dress, struct scratches *scratches)
{
    return plain_prepare(line, scratches->first, sizeof scratches->first) &&
           plain_dress(line, dress, scratches->second, sizeof scratches->second);
}

static void look(struct span line, unsigned dress, struct looked_at *seen)
{
    struct scratches scratches;
    seen->shape.delimiter = ' ';
    seen->shape.columns = 0;
    seen->only_a_number = false;
    seen->has_labels = false;
    seen->kind = LINE_FOREIGN;
    if (!undress(&line, dress, &scratches) || begins_with(line, "$") || begins_with(line, "!") ||
        begins_with(line, "[{") || is_markup(line)) {
        return;
    }
    seen->kind = LINE_COMMENT;
    if (line.length == 0 || is_a_rule(line)) {
        return;
    }
    struct token whole;
    seen->shape = plain_shape_of(line);
    if (plain_is_comment(line) &&
        !(line.text[0] == '#' && plain_has_digit(line) && seen->shape.columns > 0 &&
          line.text[1] >= '0' && line.text[1] <= '9')) {
        seen->shape.columns = 0;
        return;
    }
    seen->kind = seen->shape.columns > 0 ? LINE_DATA
                 : plain_says_no_reading(line) || plain_says_good(line) ||
                         (plain_says_bad(line) && memchr(line.text, ':', line.length) != NULL)
                     ? LINE_COMMENT
                     : LINE_TEXT;
    plain_read_field(line, false, &whole);
    seen->only_a_number = whole.kind == TOKEN_NUMBER;
    seen->has_labels = plain_has_labels(line, seen->shape);
}

static bool same_shape(struct plain_shape a, struct plain_shape b)
{
    return a.delimiter == b.delimiter && a.columns == b.columns;
}

/* 'loop 7 took 19 ms' is no line of '412 296'. */
static bool alike(const struct looked_at *a, const struct looked_at *b)
{
    return same_shape(a->shape, b->shape) && a->has_labels == b->has_labels;
}

/* A held line that can be prepared, prepared. */
static struct span prepared(const struct held_lines *held, int index,
                            char scratch[DECODER_LINE_MAX])
{
    struct span line = held_line(held, index);
    plain_prepare(&line, scratch, DECODER_LINE_MAX);
    return line;
}

struct choice {
    struct plain_shape shape;
    int first;   /* first held line of this shape that counts */
    int count;   /* how many there are from it on */
    int heading; /* held line, or -1 */
};

/* The heading is the last line of words before the first line of numbers; a comment may be one. */
static int heading_before(const struct held_lines *held, const struct looked_at *seen, int first,
                          struct plain_shape shape)
{
    if (seen[first].has_labels) {
        return -1;
    }
    for (int i = first - 1; i >= 0; i--) {
        struct span line = held_line(held, i);
        bool lacks_last = line.text[line.length - 1] == shape.delimiter; /* no line is empty */
        if (seen[i].kind == LINE_DATA && (same_shape(seen[i].shape, shape) || lacks_last)) {
            continue;
        }
        char scratch[DECODER_LINE_MAX];
        bool words = seen[i].kind == LINE_TEXT || seen[i].kind == LINE_COMMENT;
        if (words && plain_heading_columns(prepared(held, i, scratch), shape) == shape.columns) {
            return i;
        }
        if (seen[i].kind == LINE_TEXT || seen[i].kind == LINE_DATA) {
            break;
        }
    }
    return -1;
}

/* The lines of one shape at the end of those held. */
static bool last_run(const struct held_lines *held, const struct looked_at *seen,
                     struct choice *choice)
{
    choice->count = 0;
    for (int i = held->count - 1; i >= 0; i--) {
        if (seen[i].kind != LINE_DATA) {
            if (seen[i].kind == LINE_TEXT && choice->count > 0) {
                break;
            }
            continue;
        }
        if (choice->count == 0) {
            choice->shape = seen[i].shape;
        } else if (!alike(&seen[i], &seen[choice->first])) {
            break;
        }
        choice->first = i;
        choice->count++;
    }
    if (choice->count > 0) {
        choice->heading = heading_before(held, seen, choice->first, choice->shape);
    }
    return choice->count > 0;
}

/* The run's lines, prepared and dressed into bytes. */
struct run_lines {
    struct plain_lines lines;
    char bytes[HELD_BYTES_MAX + HELD_LINES_MAX];
};

static void gather(const struct held_lines *held, const struct looked_at *seen,
                   const struct choice *choice, unsigned dress, struct run_lines *run)
{
    size_t used = 0;
    run->lines.count = 0;
    for (int i = choice->first; i < held->count; i++) {
        struct scratches scratches;
        struct span line = held_line(held, i);
        if (seen[i].kind != LINE_DATA || !alike(&seen[i], &seen[choice->first])) {
            continue;
        }
        undress(&line, dress, &scratches); /* as it was when it was looked at */
        if (used + line.length > sizeof run->bytes) {
            continue;
        }
        memcpy(run->bytes + used, line.text, line.length);
        run->lines.line[run->lines.count++] =
            span_between(run->bytes + used, run->bytes + used + line.length);
        used += line.length;
    }
}

/* A heading tells by three lines what the columns are, when its first name is one that is known. */
static bool heading_tells(const struct plain_columns *columns)
{
    bool tells = false;
    bool ride = false;
    for (int i = 0; i < columns->shape.columns; i++) {
        const struct plain_column *column = &columns->column[i];
        struct span name = plain_name_of(column);
        struct span unit = {column->unit, strlen(column->unit)};
        tells =
            tells || plain_names_a_range(name, unit) || (i == 0 && plain_names_time(name, unit));
        ride = ride || plain_names_a_ride(name);
    }
    return tells && !ride;
}

/* Columns with the names that the run's heading gives them. */
static void name_columns(const struct held_lines *held, const struct choice *choice,
                         struct plain_columns *columns)
{
    plain_columns_begin(columns, choice->shape);
    if (choice->heading >= 0) {
        char scratch[DECODER_LINE_MAX];
        plain_columns_name(columns, prepared(held, choice->heading, scratch));
    }
}

static void add_lines(const struct plain_lines *lines, struct plain_columns *columns)
{
    for (int i = 0; i < lines->count; i++) {
        plain_columns_add(columns, lines->line[i]);
    }
}

static bool run_is_enough(const struct held_lines *held, const struct choice *choice,
                          const struct looked_at *seen, unsigned dress,
                          const struct decoder_options *options)
{
    struct run_lines run;
    struct plain_columns columns;
    bool told_apart;
    gather(held, seen, choice, dress, &run);
    if ((choice->shape.columns == 1 || seen[choice->first].has_labels) &&
        plain_labels_differ(&run.lines, choice->shape, &told_apart)) {
        return told_apart || choice->count >= LABELLED_LINES_MOST;
    }
    if (choice->shape.columns == 1) {
        return choice->count >=
               (seen[choice->first].only_a_number ? LINES_OF_A_NUMBER : LINES_WITH_TEXT);
    }
    if (choice->shape.columns > PLAIN_COLUMNS_MAX) {
        return choice->count >= LINES_UNNAMED; /* refused when they are learnt */
    }
    name_columns(held, choice, &columns);
    bool described =
        heading_tells(&columns) || (options->columns[0] != '\0' && options->time_column[0] != '\0');
    add_lines(&run.lines, &columns);
    if (options->columns[0] == '\0' && plain_keys_are_possible(&run.lines, &columns, &told_apart) &&
        !told_apart) {
        return choice->count >= KEYED_LINES_MOST;
    }
    return choice->count >= (described ? LINES_UNDER_A_HEADING : LINES_UNNAMED);
}

/* The shape that most lines have; of two alike the later. */
static bool most_frequent(const struct held_lines *held, const struct looked_at *seen,
                          struct choice *choice)
{
    choice->count = 0;
    for (int i = 0; i < held->count; i++) {
        int count = 0;
        int first = i;
        for (int j = i; j >= 0 && seen[i].kind == LINE_DATA; j--) {
            if (seen[j].kind == LINE_DATA && alike(&seen[i], &seen[j])) {
                count++;
                first = j;
            }
        }
        if (count > 0 && count >= choice->count) {
            choice->shape = seen[i].shape;
            choice->first = first;
            choice->count = count;
        }
    }
    if (choice->count > 0) {
        choice->heading = heading_before(held, seen, choice->first, choice->shape);
    }
    return choice->count > 0;
}

/* Each line of numbers with words before it, which may say what it is of: 'HEAD', '412', 'CHEST',
 * '296'. */
static bool are_scattered(const struct held_lines *held, const struct looked_at *seen,
                          const struct choice *choice)
{
    int named = 0, data = 0;
    for (int i = 1; i < held->count; i++) {
        if (seen[i].kind == LINE_DATA && alike(&seen[i], &seen[choice->first])) {
            named += seen[i - 1].kind == LINE_TEXT ? 1 : 0;
            data++;
        }
    }
    return named == data && data > 2;
}

/* Looks at all lines held, and chooses those to go by; false when there are none that are enough
 * (or of which most are, when no more will come). */
static bool choose_lines(const struct held_lines *held, const struct decoder_options *options,
                         bool last, struct looked_at seen[HELD_LINES_MAX], unsigned *dress,
                         struct choice *choice, bool *sure)
{
    *dress = plain_dress_of(held, options);
    int lines = 0;
    if (!options->hexadecimal && plain_are_hexadecimal(held)) {
        return false;
    }
    for (int i = 0; i < held->count; i++) {
        look(held_line(held, i), *dress, &seen[i]);
        lines += seen[i].kind != LINE_COMMENT ? 1 : 0;
    }
    *sure = last_run(held, seen, choice) && run_is_enough(held, choice, seen, *dress, options);
    if (*sure) {
        return true;
    }
    return last && most_frequent(held, seen, choice) && !are_scattered(held, seen, choice) &&
           (2 * choice->count >= lines || choice->heading >= 0 || held->count <= 4);
}

enum recognition plain_layout_recognise(const struct held_lines *held,
                                        const struct decoder_options *options, bool last)
{
    struct looked_at seen[HELD_LINES_MAX] = {{.kind = LINE_FOREIGN}};
    struct choice choice;
    unsigned dress;
    bool sure;
    if (!choose_lines(held, options, last, seen, &dress, &choice, &sure)) {
        return RECOGNITION_NO;
    }
    if (!held->ended) {
        /* Numbers that can't be ranges are waited with: a hand may lie on the sensors. */
        struct plain_layout layout;
        struct rig_info info = {.note_count = 0};
        struct problem problem = {PROBLEM_NONE, ""};
        if (!plain_layout_learn(&layout, held, options, &info, &problem) && layout.may_wait) {
            return RECOGNITION_NO;
        }
    }
    return sure ? RECOGNITION_SURE : RECOGNITION_MAYBE;
}

/* 'Fs,50.00' and the like above the numbers. */
static double announced_rate_hz(const struct held_lines *held, int first)
{
    double rate_hz = 0;
    for (int i = 0; i < first; i++) {
        char scratch[DECODER_LINE_MAX];
        struct span line = held_line(held, i);
        struct token token;
        int64_t milli_hz;
        if (!plain_prepare(&line, scratch, sizeof scratch) || !plain_next_number(&line, &token) ||
            token.kind != TOKEN_NUMBER_IN || !plain_names_a_rate(token.before)) {
            continue;
        }
        if (decimal_scale(&token.number, 1000, INT64_C(100000000), &milli_hz) && milli_hz > 0) {
            rate_hz = (double)milli_hz / 1000;
        }
    }
    return rate_hz;
}

/* The columns as they stand, under their heading. */
static void fill_columns(const struct held_lines *held, const struct choice *choice,
                         const struct plain_lines *lines, struct plain_layout *layout,
                         struct plain_columns *columns)
{
    name_columns(held, choice, columns);
    add_lines(lines, columns);
    if (choice->heading >= 0) {
        char scratch[DECODER_LINE_MAX];
        struct span heading = prepared(held, choice->heading, scratch);
        layout->heading_length = heading.length;
        memcpy(layout->heading, heading.text, heading.length);
    }
    plain_columns_unit_beside(columns);
    plain_columns_join_numbers(columns);
}

/* One value a line, told apart by a key: the choice is among the keys. */
static bool choose_keys(struct plain_layout *layout, const struct plain_columns *pivot,
                        const struct decoder_options *options, struct rig_info *info,
                        struct problem *problem)
{
    struct plain_layout among;
    struct decoder_options of_keys = *options;
    of_keys.time_column[0] = of_keys.status[0] = '\0';
    memset(&among, 0, sizeof among);
    memset(among.column_use, PLAIN_PASSED_OVER, sizeof among.column_use);
    if (!plain_columns_choose(pivot, &of_keys, &among, info, problem)) {
        layout->may_wait = among.may_wait;
        return false;
    }
    layout->channel_count = among.channel_count;
    memcpy(layout->channel_name, among.channel_name, sizeof layout->channel_name);
    memcpy(layout->tenths_per_unit, among.tenths_per_unit, sizeof layout->tenths_per_unit);
    memcpy(layout->more_decimals, among.more_decimals, sizeof layout->more_decimals);
    memcpy(layout->unit_may_change, among.unit_may_change, sizeof layout->unit_may_change);
    memcpy(layout->no_echo_tenth_mm, among.no_echo_tenth_mm, sizeof layout->no_echo_tenth_mm);
    memcpy(layout->zero_is_reading, among.zero_is_reading, sizeof layout->zero_is_reading);
    memcpy(layout->keys.use, among.column_use, sizeof layout->keys.use);
    layout->is_bare = false;
    struct wire_note *noted = dialect_note(info, WIRE_KEYED, 0, -1);
    if (noted != NULL) {
        noted->value_milli = 1000 * (int64_t)layout->keys.count;
    }
    return true;
}

static void note_dress(struct rig_info *info, unsigned dress)
{
    if ((dress & DRESS_COMMA) != 0) {
        dialect_note(info, WIRE_COMMA, 0, -1);
    }
    if ((dress & (DRESS_HEXADECIMAL | DRESS_ALL_HEXADECIMAL)) != 0) {
        dialect_note(info, WIRE_HEXADECIMAL, 0, -1);
    }
    if ((dress & DRESS_SENTENCE) != 0) {
        dialect_note(info, WIRE_SENTENCE, 0, -1);
    }
}

bool plain_layout_learn(struct plain_layout *layout, const struct held_lines *held,
                        const struct decoder_options *options, struct rig_info *info,
                        struct problem *problem)
{
    struct plain_columns columns;
    return plain_layout_learn_columns(layout, &columns, held, options, info, problem);
}

bool plain_layout_learn_columns(struct plain_layout *layout, struct plain_columns *columns,
                                const struct held_lines *held,
                                const struct decoder_options *options, struct rig_info *info,
                                struct problem *problem)
{
    struct looked_at seen[HELD_LINES_MAX] = {{.kind = LINE_FOREIGN}};
    struct choice choice;
    struct run_lines run;
    struct plain_columns pivot;
    unsigned dress;
    bool sure;
    memset(layout, 0, sizeof *layout);
    columns->shape.columns = 0;
    memset(layout->column_use, PLAIN_PASSED_OVER, sizeof layout->column_use);
    if (!choose_lines(held, options, true, seen, &dress, &choice, &sure)) {
        return problem_set(problem, "the stream has no lines with numbers");
    }
    layout->shape = choice.shape;
    layout->dress = dress;
    layout->lines_before = choice.first;
    layout->announced_rate_hz = announced_rate_hz(held, choice.first);
    if (choice.shape.columns > PLAIN_COLUMNS_MAX) {
        return problem_set(problem, "the stream has more than %d columns", PLAIN_COLUMNS_MAX);
    }
    gather(held, seen, &choice, dress, &run);
    fill_columns(held, &choice, &run.lines, layout, columns);
    note_dress(info, dress);
    layout->hash_is_key = run.lines.line[0].text[0] == '#';
    struct rig_info noted = *info;
    struct plain_layout trial = *layout;
    bool said = options->columns[0] != '\0';
    /* Columns that were said and are there are what is meant. */
    if (!said || !plain_columns_choose(columns, options, &trial, &noted, NULL)) {
        trial = *layout;
        noted = *info;
        struct chooser trying = {columns, options, &trial, &noted, NULL};
        if (plain_guess_time(&trying) && plain_guess_statuses(&trying) &&
            plain_keys_find(&trial.keys, &run.lines, columns, &trial, &pivot)) {
            *layout = trial;
            *info = noted;
            return choose_keys(layout, &pivot, options, info, problem);
        }
    }
    return plain_columns_choose(columns, options, layout, info, problem);
}
