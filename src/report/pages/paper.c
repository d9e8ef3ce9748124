/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/paper.h"

#include "pages.h"

#include "base/text.h"

#include <stdarg.h>
#include <string.h>

#define ELEMENT_SIZE 4608
#define LONG_CELL 24

void paper_begin(struct paper *paper, FILE *stream, enum paper_kind kind, int width)
{
    *paper = (struct paper){.stream = stream, .kind = kind, .width = width};
}

void paper_begin_pages(struct paper *paper, struct pages *pages)
{
    *paper = (struct paper){.kind = PAPER_PAGES, .pages = pages};
}

/* ---- HTML ------------------------------------------------------------------------------------ */

void paper_escape(FILE *stream, const char *text)
{
    for (; *text != '\0'; text++) {
        switch (*text) {
        case '<':
            fputs("&lt;", stream);
            break;
        case '>':
            fputs("&gt;", stream);
            break;
        case '&':
            fputs("&amp;", stream);
            break;
        case '"':
            fputs("&quot;", stream);
            break;
        case '\'':
            fputs("&#39;", stream);
            break;
        default:
            /* the other control characters are not allowed there */
            fputc((unsigned char)*text < 0x20 && *text != '\n' ? ' ' : *text, stream);
        }
    }
}

/* Words in capitals are warnings: they stand out on paper too. */
size_t paper_warning_length(const char *text)
{
    static const char *const warnings[] = {"FAILED",      "NOT TIED",    "REJECTED", "LEFT OUT",
                                           "ALARM",       "STOOD STILL", "BLOCKED",  "NOT KEPT",
                                           "NOT SETTLED", "NO NUMBERS"};
    for (size_t i = 0; i < sizeof warnings / sizeof warnings[0]; i++) {
        if (text_starts_with(text, warnings[i])) {
            return strlen(warnings[i]);
        }
    }
    return 0;
}

static void html_text(FILE *stream, const char *text)
{
    char one[2] = "";
    while (*text != '\0') {
        size_t length = paper_warning_length(text);
        if (length > 0) {
            fprintf(stream, "<strong>%.*s</strong>", (int)length, text);
            text += length;
        } else if (*text == '\n') {
            fputs("<br>", stream);
            text++;
        } else {
            one[0] = *text++;
            paper_escape(stream, one);
        }
    }
}

/* Opens and closes the list as items come and end. */
static void html_list(struct paper *paper, enum paper_element next)
{
    if (paper->last == PAPER_ITEM && next != PAPER_ITEM) {
        fputs("</ul>\n", paper->stream);
    } else if (paper->last != PAPER_ITEM && next == PAPER_ITEM) {
        fputs("<ul>\n", paper->stream);
    }
}

static void html_element(struct paper *paper, enum paper_element element, const char *text)
{
    static const char *const open[] = {
        [PAPER_NOTHING] = "",      [PAPER_HEADING] = "<h1>",
        [PAPER_TITLE] = "<h2>",    [PAPER_LINE] = "<p class=\"line\">",
        [PAPER_PARAGRAPH] = "<p>", [PAPER_ITEM] = "<li>",
        [PAPER_LABEL] = "<h3>",    [PAPER_UNDER] = "<p class=\"under\">",
        [PAPER_TABLE] = "",        [PAPER_NOTE] = "<p class=\"note\">",
        [PAPER_PICTURE] = "",
    };
    static const char *const close[] = {
        [PAPER_NOTHING] = "",    [PAPER_HEADING] = "</h1>",  [PAPER_TITLE] = "</h2>",
        [PAPER_LINE] = "</p>",   [PAPER_PARAGRAPH] = "</p>", [PAPER_ITEM] = "</li>",
        [PAPER_LABEL] = "</h3>", [PAPER_UNDER] = "</p>",     [PAPER_TABLE] = "",
        [PAPER_NOTE] = "</p>",   [PAPER_PICTURE] = "",
    };
    fputs(open[element], paper->stream);
    html_text(paper->stream, text);
    fprintf(paper->stream, "%s\n", close[element]);
}

/* Some cell of the column is a sentence, which on a phone must not become a pillar of words. */
static bool cells_long(const struct table *table, int column)
{
    for (int row = 0; row < table_rows(table); row++) {
        if (strlen(table_text(table, row, column)) >= LONG_CELL) {
            return true;
        }
    }
    return false;
}

static void html_table(struct paper *paper, const struct table *table)
{
    int columns = table_column_count(table);
    fputs("<div class=\"wide\"><table>\n<thead><tr>", paper->stream);
    for (int column = 0; column < columns; column++) {
        const struct table_column *heading = table_column(table, column);
        fprintf(paper->stream, "<th scope=\"col\"%s>",
                heading->align == TABLE_RIGHT ? " class=\"number\"" : "");
        html_text(paper->stream, heading->heading);
        fputs("</th>", paper->stream);
    }
    fputs("</tr></thead>\n<tbody>\n", paper->stream);
    for (int row = 0; row < table_rows(table); row++) {
        fputs("<tr>", paper->stream);
        for (int column = 0; column < columns; column++) {
            const struct table_column *of = table_column(table, column);
            bool words = of->align == TABLE_LEFT && cells_long(table, column);
            fputs(of->align == TABLE_RIGHT ? "<td class=\"number\">"
                  : words                  ? "<td class=\"words\">"
                                           : "<td>",
                  paper->stream);
            html_text(paper->stream, table_text(table, row, column));
            fputs("</td>", paper->stream);
        }
        fputs("</tr>\n", paper->stream);
    }
    fputs("</tbody></table></div>\n", paper->stream);
}

/* ---- text ------------------------------------------------------------------------------------ */

/* Is an empty line wanted between what was written last and this? */
static bool gap(enum paper_element last, enum paper_element next)
{
    switch (next) {
    case PAPER_TABLE:
        return last != PAPER_TITLE && last != PAPER_NOTHING;
    case PAPER_PARAGRAPH:
        return last == PAPER_ITEM || last == PAPER_UNDER || last == PAPER_TABLE ||
               last == PAPER_NOTE;
    case PAPER_ITEM:
    case PAPER_LABEL:
    case PAPER_LINE:
        return last == PAPER_TABLE || last == PAPER_NOTE;
    case PAPER_NOTHING:
    case PAPER_HEADING:
    case PAPER_TITLE:
    case PAPER_UNDER:
    case PAPER_NOTE:
    case PAPER_PICTURE:
        break;
    }
    return false;
}

static void text_element(struct paper *paper, enum paper_element element, const char *text)
{
    char item[ELEMENT_SIZE + 2];
    if (gap(paper->last, element)) {
        fputc('\n', paper->stream);
    }
    switch (element) {
    case PAPER_HEADING:
    case PAPER_TITLE:
        title_write(paper->stream, text);
        return;
    case PAPER_ITEM:
        snprintf(item, sizeof item, "- %s", text);
        paragraph_write(paper->stream, 0, 2, paper->width, item);
        return;
    case PAPER_LABEL:
        paragraph_write(paper->stream, 0, 3, paper->width, text);
        return;
    case PAPER_UNDER:
        paragraph_write(paper->stream, 3, 0, paper->width, text);
        return;
    case PAPER_LINE:
    case PAPER_NOTE:
        paragraph_write(paper->stream, 0, 2, paper->width, text);
        return;
    case PAPER_PARAGRAPH:
    case PAPER_NOTHING:
    case PAPER_TABLE:
    case PAPER_PICTURE:
        break;
    }
    paragraph_write(paper->stream, 0, 0, paper->width, text);
}

/* ---- all ------------------------------------------------------------------------------------ */

static void element(struct paper *paper, enum paper_element kind, const char *text)
{
    switch (paper->kind) {
    case PAPER_TEXT:
        text_element(paper, kind, text);
        break;
    case PAPER_HTML:
        html_list(paper, kind);
        html_element(paper, kind, text);
        break;
    case PAPER_PAGES:
        pages_element(paper->pages, kind, paper->last, text);
        break;
    }
    paper->last = kind;
}

void paper_part_begin(struct paper *paper, const char *name, const char *heading)
{
    if (paper->kind == PAPER_PAGES) {
        pages_part(paper->pages, heading);
        paper->last = PAPER_HEADING;
        return;
    }
    if (paper->kind == PAPER_HTML) {
        fprintf(paper->stream, "<section class=\"%s\">\n", name);
    }
    element(paper, PAPER_HEADING, heading);
}

void paper_part_end(struct paper *paper)
{
    paper_end(paper);
    if (paper->kind == PAPER_HTML) {
        fputs("</section>\n", paper->stream);
    }
}

static void element_arguments(struct paper *paper, enum paper_element kind, const char *format,
                              va_list arguments) __attribute__((format(printf, 3, 0)));

static void element_arguments(struct paper *paper, enum paper_element kind, const char *format,
                              va_list arguments)
{
    char text[ELEMENT_SIZE];
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

ELEMENT_FUNCTION(paper_line, PAPER_LINE)
ELEMENT_FUNCTION(paper_paragraph, PAPER_PARAGRAPH)
ELEMENT_FUNCTION(paper_item, PAPER_ITEM)
ELEMENT_FUNCTION(paper_label, PAPER_LABEL)
ELEMENT_FUNCTION(paper_under, PAPER_UNDER)
ELEMENT_FUNCTION(paper_note, PAPER_NOTE)

bool paper_table(struct paper *paper, const struct table *table, struct problem *problem)
{
    bool done = table_sound(table, problem);
    switch (paper->kind) {
    case PAPER_TEXT:
        if (gap(paper->last, PAPER_TABLE)) {
            fputc('\n', paper->stream);
        }
        done = done && table_write(table, paper->stream, 0, paper->width, problem);
        break;
    case PAPER_HTML:
        html_list(paper, PAPER_TABLE);
        if (done) {
            html_table(paper, table);
        }
        break;
    case PAPER_PAGES:
        done = done && pages_table(paper->pages, table, problem);
        break;
    }
    paper->last = PAPER_TABLE;
    return done;
}

bool paper_picture(struct paper *paper, enum picture_place place, const char *svg,
                   struct problem *problem)
{
    bool done = true;
    /* a file's XML declaration does not belong in a page */
    const char *picture = svg != NULL ? strstr(svg, "<svg") : NULL;
    if (picture == NULL || paper->kind == PAPER_TEXT) {
        return true;
    }
    if (paper->kind == PAPER_HTML) {
        html_list(paper, PAPER_PICTURE);
        fprintf(paper->stream, "<figure%s>\n%s</figure>\n",
                place == PICTURE_BESIDE ? " class=\"drawing\"" : "", picture);
    } else {
        done = pages_picture(paper->pages, place, picture, problem);
    }
    paper->last = PAPER_PICTURE;
    return done;
}

void paper_end(struct paper *paper)
{
    if (paper->kind == PAPER_HTML) {
        html_list(paper, PAPER_NOTHING);
    }
    paper->last = PAPER_NOTHING;
}
