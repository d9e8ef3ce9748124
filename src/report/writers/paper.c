/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/paper.h"

#include "base/language.h"
#include "base/text.h"

#include <stdarg.h>
#include <string.h>

void paper_begin(struct paper *paper, const struct paper_writer *writer, FILE *stream, int width)
{
    *paper = (struct paper){.writer = writer, .stream = stream, .width = width};
}

/* Words in capitals are warnings: they stand out on paper too. */
size_t paper_warning_length(const char *text)
{
    static const char *const warnings[] = {
        N_("FAILED"),      N_("NOT TIED"), N_("REJECTED"), N_("LEFT OUT"),    N_("ALARM"),
        N_("STOOD STILL"), N_("BLOCKED"),  N_("NOT KEPT"), N_("NOT SETTLED"), N_("NO NUMBERS")};
    for (size_t i = 0; i < sizeof warnings / sizeof warnings[0]; i++) {
        const char *warning = T_(warnings[i]);
        if (text_starts_with(text, warning)) {
            return strlen(warning);
        }
    }
    return 0;
}

static void element(struct paper *paper, enum paper_element kind, const char *text)
{
    paper->writer->element(paper, kind, text);
    paper->last = kind;
}

void paper_part_begin(struct paper *paper, const char *name, const char *heading)
{
    paper->writer->part_begin(paper, name, heading);
    paper->last = PAPER_HEADING;
}

void paper_part_end(struct paper *paper)
{
    paper_end(paper);
    if (paper->writer->part_end != NULL) {
        paper->writer->part_end(paper);
    }
}

static void element_arguments(struct paper *paper, enum paper_element kind, const char *format,
                              va_list arguments) __attribute__((format(printf, 3, 0)));

static void element_arguments(struct paper *paper, enum paper_element kind, const char *format,
                              va_list arguments)
{
    char text[PAPER_ELEMENT_SIZE];
    vsnprintf(text, sizeof text, format, arguments);
    element(paper, kind, text);
}

void paper_title(struct paper *paper, const char *title)
{
    element(paper, PAPER_TITLE, title);
}

#define ELEMENT_FUNCTION(name, kind)                                                               \
    void name(struct paper *paper, const char *format, ...)                                        \
    {                                                                                              \
        va_list arguments;                                                                         \
        va_start(arguments, format);                                                               \
        element_arguments(paper, kind, format, arguments);                                         \
        va_end(arguments);                                                                         \
    }

ELEMENT_FUNCTION(paper_decision, PAPER_DECISION)
ELEMENT_FUNCTION(paper_lead, PAPER_LEAD)
ELEMENT_FUNCTION(paper_line, PAPER_LINE)
ELEMENT_FUNCTION(paper_paragraph, PAPER_PARAGRAPH)
ELEMENT_FUNCTION(paper_item, PAPER_ITEM)
ELEMENT_FUNCTION(paper_label, PAPER_LABEL)
ELEMENT_FUNCTION(paper_under, PAPER_UNDER)
ELEMENT_FUNCTION(paper_note, PAPER_NOTE)

bool paper_table(struct paper *paper, const struct table *table, struct problem *problem)
{
    bool done = table_sound(table, problem) && paper->writer->table(paper, table, problem);
    paper->last = PAPER_TABLE;
    return done;
}

bool paper_picture(struct paper *paper, enum picture_place place, const char *svg,
                   struct problem *problem)
{
    /* a file's XML declaration does not belong in a page */
    const char *picture = svg != NULL ? strstr(svg, "<svg") : NULL;
    if (picture == NULL || paper->writer->picture == NULL ||
        (place == PICTURE_FOR_NARROW && !paper->writer->narrow_too)) {
        return true;
    }
    bool done = paper->writer->picture(paper, place, picture, problem);
    paper->last = PAPER_PICTURE;
    return done;
}

void paper_end(struct paper *paper)
{
    if (paper->writer->end != NULL) {
        paper->writer->end(paper);
    }
    paper->last = PAPER_NOTHING;
}
