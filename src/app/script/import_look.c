/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/import_look.h"

#include "base/text.h"
#include "rig/decoder_options.h"
#include "rig/plain_describe.h"
#include "rig/plain_quotes.h"
#include "rig/plain_tokens.h"
#include "rig/plain_words.h"
#include "rig/wire_look.h"
#include "say/file.h"
#include "say/wire.h"

#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#define FIRST_BYTES 16384
#define ANSWER_SIZE 300
#define ANSWERS_MAX 32

/* What there is to ask of a file. */
enum doubt { DOUBT_NONE, DOUBT_FORM, DOUBT_COLUMNS, DOUBT_UNIT, DOUBT_TIME_UNIT };
struct question {
    enum doubt doubt;
    char words[700];                 /* what is not certain */
    bool has_proposal;               /* Enter takes it: */
    struct decoder_options proposal; /* all that is said then */
    char option[ANSWER_SIZE];        /* and how it is typed */
    char key[24];                    /* the option that an answer without one is for; "" none */
};

struct looking {
    struct import_look *look;
    const char *file;
    struct decoder_options *options;
    struct decoder_options before[ANSWERS_MAX]; /* what was said before each answer */
    int answers;
    char *bytes;
    size_t length;
    struct plain_description *description;
};

/* One that is not there, or no file, is named by who reads it. */
static bool read_beginning(struct looking *looking)
{
    struct stat status;
    bool is_file = stat(looking->file, &status) == 0 && S_ISREG(status.st_mode);
    FILE *file = is_file ? fopen(looking->file, "rb") : NULL;
    looking->length = 0;
    if (file != NULL) {
        looking->length = fread(looking->bytes, 1, FIRST_BYTES, file);
        fclose(file);
    }
    return looking->length > 0;
}

/* ---- what is not certain --------------------------------------------------------------------- */

static void propose(struct question *question, const struct decoder_options *proposal)
{
    question->has_proposal = true;
    question->proposal = *proposal;
}

static void ask_columns(const struct looking *looking, struct question *question)
{
    const struct plain_layout *layout = &looking->description->layout;
    struct decoder_options proposal = *looking->options;
    size_t used = 0;
    proposal.columns[0] = '\0';
    for (int i = 0; i < layout->shape.columns; i++) {
        int use = (int)layout->column_use[i];
        if (use >= 0 && use < CHANNELS_MAX) {
            text_append(proposal.columns, sizeof proposal.columns, &used, "%s%s=%d",
                        used > 0 ? "," : "", layout->channel_name[use], i + 1);
        }
    }
    question->doubt = DOUBT_COLUMNS;
    text_copy(question->key, sizeof question->key, "columns");
    text_copy(question->words, sizeof question->words,
              "the columns have no names: which are ranges?");
    propose(question, &proposal);
}

static void ask_time_unit(const struct looking *looking, struct question *question)
{
    struct decoder_options proposal = *looking->options;
    question->doubt = DOUBT_TIME_UNIT;
    text_copy(question->key, sizeof question->key, "time-unit");
    text_copy(question->words, sizeof question->words,
              "its times may be milliseconds or microseconds: which are they?");
    text_copy(proposal.time_unit, sizeof proposal.time_unit,
              looking->description->layout.time == PLAIN_TIME_US ? "us" : "ms");
    propose(question, &proposal);
}

/* Its lines can't be told as they are: how they might be. */
static void ask_form(const struct looking *looking, const struct problem *why,
                     struct question *question)
{
    struct wire_finding *finding = malloc(sizeof *finding);
    question->doubt = DOUBT_FORM;
    text_copy(question->words, sizeof question->words, why->sentence);
    if (finding != NULL) {
        wire_look(looking->bytes, looking->length, looking->options, finding);
        /* which columns are meant is for a person to say */
        if (finding->has_proposal &&
            text_equal(finding->proposal.columns, looking->options->columns)) {
            propose(question, &finding->proposal);
        }
    }
    free(finding);
}

/* In mm no rider is where a column's numbers say, and nothing says that they are. */
static void ask_unit(const struct looking *looking, const struct wire_note *note,
                     struct question *question)
{
    struct wire_finding *finding = malloc(sizeof *finding);
    question->doubt = DOUBT_UNIT;
    text_copy(question->key, sizeof question->key, "unit");
    say_wire_note(question->words, sizeof question->words, note, &looking->description->info);
    if (finding != NULL) {
        wire_look(looking->bytes, looking->length, looking->options, finding);
        if (finding->has_proposal) {
            propose(question, &finding->proposal);
        }
    }
    free(finding);
}

/* Is it plain numbers at all? Another dialect says what it is itself. */
static bool is_plain(const struct looking *looking)
{
    struct wire_finding *finding = malloc(sizeof *finding);
    bool plain = false;
    if (finding != NULL) {
        wire_look(looking->bytes, looking->length, looking->options, finding);
        plain = finding->info.dialect[0] == '\0' || text_equal(finding->info.dialect, "plain");
    }
    free(finding);
    return plain;
}

/* The first of a kind; NULL where there is none. */
static const struct wire_note *note_of(const struct rig_info *info, enum wire_note_kind kind)
{
    for (int i = 0; i < info->note_count; i++) {
        if (info->note[i].kind == kind) {
            return &info->note[i];
        }
    }
    return NULL;
}

static void find_question(const struct looking *looking, struct question *question)
{
    struct problem why = {0};
    const struct rig_info *info = &looking->description->info;
    const struct wire_note *doubtful;
    *question = (struct question){.doubt = DOUBT_NONE};
    if (!plain_describe(looking->bytes, looking->length, looking->options, looking->description,
                        &why)) {
        ask_form(looking, &why, question);
    } else if (note_of(info, WIRE_UNNAMED) != NULL) {
        ask_columns(looking, question);
    } else if ((doubtful = note_of(info, WIRE_UNIT_DOUBTFUL)) != NULL) {
        ask_unit(looking, doubtful, question);
    } else if (looking->description->time_is_doubtful) {
        ask_time_unit(looking, question);
    }
    if (question->has_proposal) {
        decoder_options_words(&question->proposal, question->option, sizeof question->option);
    }
}

/* ---- telling --------------------------------------------------------------------------------- */

static void tell(const struct looking *looking)
{
    struct import_look *look = looking->look;
    char text[sizeof look->shown], line[400];
    size_t used = 0;
    say_file_form(line, sizeof line, looking->description);
    text_append(text, sizeof text, &used, "%s\n", line);
    for (int i = 0; i < looking->description->layout.shape.columns; i++) {
        say_file_column(line, sizeof line, looking->description, i);
        text_append(text, sizeof text, &used, "  %s\n", line);
    }
    if (!text_equal(text, look->shown)) {
        text_copy(look->shown, sizeof look->shown, text);
        text_print(look->told, "%s: %s", looking->file, text);
    }
}

/* ---- asking ---------------------------------------------------------------------------------- */

enum answered { ANSWERED_YES, ANSWERED_AGAIN, ANSWERED_LEAVE };

static bool take_option(struct looking *looking, const struct question *question, const char *text,
                        struct problem *problem)
{
    struct decoder_options said = *looking->options;
    bool is_option = text_starts_with(text, "--");
    if (!is_option && question->key[0] == '\0') {
        return problem_set(problem, "say an option, as --unit cm or --columns head=3,chest=5");
    }
    if (!(is_option ? decoder_options_read(&said, text, problem)
                    : decoder_option_set(&said, question->key, text, problem))) {
        return false;
    }
    struct decoder *tried = decoder_create(&said, problem);
    decoder_destroy(tried);
    if (tried != NULL) {
        *looking->options = said;
    }
    return tried != NULL;
}

static enum answered take_answer(struct looking *looking, const struct question *question,
                                 const char *text)
{
    struct problem problem = {0};
    struct decoder_options before = *looking->options;
    if (text_equal(text, "q")) {
        return ANSWERED_LEAVE;
    }
    if (text_equal(text, "u")) {
        if (looking->answers == 0) {
            fprintf(looking->look->told, "nothing was answered yet\n");
            return ANSWERED_AGAIN;
        }
        *looking->options = looking->before[--looking->answers];
        return ANSWERED_YES;
    }
    if (text[0] == '\0' && question->has_proposal) {
        *looking->options = question->proposal;
    } else if (text[0] == '\0' || !take_option(looking, question, text, &problem)) {
        text_print(looking->look->told, "%s\n",
                   text[0] == '\0' ? "there is nothing to take: say an option" : problem.sentence);
        return ANSWERED_AGAIN;
    }
    if (looking->answers < ANSWERS_MAX) {
        looking->before[looking->answers++] = before;
    }
    return ANSWERED_YES;
}

static bool ask(struct looking *looking, const struct question *question, struct problem *problem)
{
    FILE *told = looking->look->told;
    enum answered answered = ANSWERED_AGAIN;
    text_print(told, "%s: %s\n", looking->file, question->words);
    while (answered == ANSWERED_AGAIN) {
        char text[ANSWER_SIZE] = "";
        text_print(told, "  %s%s%sanother option; u: back; q: leave > ",
                   question->has_proposal ? "Enter: " : "", question->option,
                   question->has_proposal ? "; or " : "");
        fflush(told);
        if (fgets(text, sizeof text, looking->look->answers) == NULL) {
            answered = ANSWERED_LEAVE;
            break;
        }
        text[strcspn(text, "\r\n")] = '\0';
        answered = take_answer(looking, question, text);
    }
    return answered == ANSWERED_YES ||
           problem_set(problem, "left: nothing of %s was taken", looking->file);
}

static bool refuse(const struct looking *looking, const struct question *question,
                   struct problem *problem)
{
    if (question->doubt == DOUBT_FORM ||
        question->doubt == DOUBT_UNIT) { /* its sentence says which option */
        return problem_set(problem, "%s: %s%s%s%s", looking->file, question->words,
                           question->has_proposal ? " ('" : "", question->option,
                           question->has_proposal ? "' reads it)" : "");
    }
    return problem_set(problem, "%s: %s Say it: %s takes them as shown", looking->file,
                       question->words, question->option);
}

/* What the file says of its unit is not talked over: ten times too long looks like a range, too. */
static bool refuse_other_unit(const struct looking *looking, struct problem *problem)
{
    const struct plain_description *description = looking->description;
    const char *said = looking->options->unit;
    uint8_t said_decimals = 0, own_decimals = 0;
    uint32_t said_tenths = plain_unit_tenths((struct span){said, strlen(said)}, &said_decimals);
    for (int i = 0; said_tenths != 0 && i < description->layout.shape.columns; i++) {
        const struct plain_column *column = &description->columns.column[i];
        int use = (int)description->layout.column_use[i];
        struct span unit = {column->unit, strlen(column->unit)};
        if (use < 0 || use >= CHANNELS_MAX || !plain_is_unit_of_length(unit)) {
            continue;
        }
        uint32_t own_tenths = plain_unit_tenths(unit, &own_decimals);
        if (own_tenths != said_tenths || own_decimals != said_decimals) {
            return problem_set(
                problem,
                "%s: column %d '%s' says %s, and --unit says %s: leave --unit out, or "
                "mend what the file says",
                looking->file, i + 1, column->name, column->unit, said);
        }
    }
    return true;
}

static bool go_through(struct looking *looking, struct problem *problem)
{
    struct question question;
    for (;;) {
        find_question(looking, &question);
        if (question.doubt != DOUBT_FORM) {
            if (!refuse_other_unit(looking, problem)) {
                return false;
            }
            tell(looking);
        }
        if (question.doubt == DOUBT_NONE) {
            looking->look->has_start = looking->description->has_start;
            looking->look->start_us = looking->description->start_us;
            return true;
        }
        if (looking->look->answers == NULL) {
            return refuse(looking, &question, problem);
        }
        if (!ask(looking, &question, problem)) {
            return false;
        }
    }
}

/* ---- what is refused whoever is there -------------------------------------------------------- */

/* The name of a field, by the file's first line; "" where it has none. */
static void name_field(char *name, size_t size, const char *heading,
                       const struct plain_unclear *unclear)
{
    char scratch[DECODER_LINE_MAX];
    struct span rest = {heading, strlen(heading)}, field = {"", 0};
    bool there = plain_unquote(&rest, scratch, sizeof scratch);
    for (int i = 0; there && i < unclear->field; i++) {
        there = span_next_field(&rest, unclear->delimiter, &field);
    }
    field = span_trim(field);
    snprintf(name, size, "%.*s", there && plain_has_letter(field) ? (int)field.length : 0,
             field.text);
}

/* False with file, line and field where a field may mean two things, or is not all there. */
static bool line_is_clear(const char *path, long number, struct span line, const char *heading,
                          struct problem *problem)
{
    struct plain_unclear unclear;
    char name[64];
    if (line.length > DECODER_LINE_MAX) {
        return true;
    }
    int open = plain_open_field(line);
    if (open > 0) {
        return problem_set(problem,
                           "%s: line %ld, field %d: what stands in quotation marks goes on in the "
                           "next line: a reading is one line here; join the two",
                           path, number, open);
    }
    if (!plain_unclear_field(line, &unclear)) {
        return true;
    }
    name_field(name, sizeof name, number > 1 ? heading : "", &unclear);
    return problem_set(problem,
                       "%s: line %ld, field %d%s%s%s: \"%.*s\" is no number: its comma may "
                       "be of thousands or a decimal one; write it without (1234.5)",
                       path, number, unclear.field, name[0] != '\0' ? " ('" : "", name,
                       name[0] != '\0' ? "')" : "", (int)unclear.text.length, unclear.text.text);
}

/* All of the file: one such field far down would be as wrong as the first. */
static bool refuse_unclear(const char *path, struct problem *problem)
{
    struct stat status;
    FILE *file = stat(path, &status) == 0 && S_ISREG(status.st_mode) ? fopen(path, "rb") : NULL;
    char heading[DECODER_LINE_MAX] = "";
    char *text = NULL;
    size_t size = 0;
    ssize_t length = 0;
    bool clear = true;
    for (long number = 1; file != NULL && clear && (length = getline(&text, &size, file)) > 0;
         number++) {
        struct span line = {text, (size_t)length};
        while (line.length > 0 && strchr("\r\n", line.text[line.length - 1]) != NULL) {
            line.length--;
        }
        if (number == 1) {
            snprintf(heading, sizeof heading, "%.*s", (int)line.length, text);
        }
        clear = line_is_clear(path, number, line, heading, problem);
    }
    free(text);
    if (file != NULL) {
        fclose(file);
    }
    return clear;
}

bool import_look(struct import_look *look, const char *file, struct decoder_options *options,
                 struct problem *problem)
{
    struct looking looking = {.look = look,
                              .file = file,
                              .options = options,
                              .bytes = malloc(FIRST_BYTES),
                              .description = malloc(sizeof *looking.description)};
    look->has_start = false;
    bool done = (looking.bytes != NULL && looking.description != NULL) ||
                problem_set(problem, "no memory for the beginning of %s", file);
    done = done && refuse_unclear(file, problem);
    if (done && read_beginning(&looking) && is_plain(&looking)) {
        done = go_through(&looking, problem);
    }
    free(looking.bytes);
    free(looking.description);
    return done;
}
