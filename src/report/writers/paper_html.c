/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Paper as HTML. */
#include "report/paper.h"

#include "base/language.h"
#include "base/numbers.h"
#include "base/text.h"

#include <string.h>

/* Bytes from which a cell is a sentence, whose column on a phone must not become a pillar of words.
 */
#define LONG_CELL 24
#define WIDE_LETTERS 70 /* more may have to be scrolled: so that this can be done by keys */
#define HALF_LETTERS 56 /* up to so many it can stand in two halves beside each other */

void paper_escape(FILE *stream, const char *text)
{
    static const char escaped[] = "<>&\"'";
    static const char *const as[] = {"&lt;", "&gt;", "&amp;", "&quot;", "&#39;"};
    size_t length = strlen(text);
    for (size_t at = 0; at < length;) {
        uint32_t character;
        size_t count = text_decode(text + at, length - at, &character);
        const char *found = count == 1 ? strchr(escaped, text[at]) : NULL;
        if (found != NULL) {
            fputs(as[found - escaped], stream);
        } else if (character == '\n' || text_is_plain(character)) {
            fwrite(text + at, 1, count, stream);
        } else {
            fputs(character < 0x20 ? " " : "\xEF\xBF\xBD", stream);
        }
        at += count;
    }
}

static void html_text(FILE *stream, const char *source)
{
    char one[8], typeset[2 * PAPER_ELEMENT_SIZE];
    const char *text = typeset;
    say_typeset(typeset, sizeof typeset, source);
    while (*text != '\0') {
        size_t length = paper_warning_length(text);
        if (length > 0) {
            fprintf(stream, "<strong>%.*s</strong>", (int)length, text);
            text += length;
        } else if (*text == '\n') {
            fputs("<br>", stream);
            text++;
        } else {
            uint32_t character;
            length = text_decode(text, strlen(text), &character);
            memcpy(one, text, length);
            one[length] = '\0';
            paper_escape(stream, one);
            text += length;
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
        [PAPER_NOTHING] = "",
        [PAPER_HEADING] = "<h1>",
        [PAPER_TITLE] = "<h2>",
        [PAPER_LINE] = "<p class=\"line\">",
        [PAPER_PARAGRAPH] = "<p>",
        [PAPER_ITEM] = "<li>",
        [PAPER_LABEL] = "<h3>",
        [PAPER_UNDER] = "<p class=\"under\">",
        [PAPER_TABLE] = "",
        [PAPER_NOTE] = "<p class=\"note\">",
        [PAPER_PICTURE] = "",
        [PAPER_DECISION] = "<p class=\"decision\">",
        [PAPER_LEAD] = "<p class=\"lead\">",
    };
    static const char *const close[] = {
        [PAPER_NOTHING] = "",    [PAPER_HEADING] = "</h1>",  [PAPER_TITLE] = "</h2>",
        [PAPER_LINE] = "</p>",   [PAPER_PARAGRAPH] = "</p>", [PAPER_ITEM] = "</li>",
        [PAPER_LABEL] = "</h3>", [PAPER_UNDER] = "</p>",     [PAPER_TABLE] = "",
        [PAPER_NOTE] = "</p>",   [PAPER_PICTURE] = "",       [PAPER_DECISION] = "</p>",
        [PAPER_LEAD] = "</p>",
    };
    html_list(paper, element);
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

/* Letters of the widest line of each column, together, with what is between columns. */
static int table_letters(const struct table *table)
{
    int letters = 0;
    for (int column = 0; column < table_column_count(table); column++) {
        int widest = 0;
        for (int row = 0; row < table_rows(table); row++) {
            int width = text_width(table_text(table, row, column));
            widest = width > widest ? width : widest;
        }
        letters += widest + 2;
    }
    return letters;
}

/* What becomes of it in print. */
static const char *table_class(const struct table *table)
{
    if (table_rows(table) < TABLE_LONG_ROWS) {
        return "wide";
    }
    return table_letters(table) <= HALF_LETTERS && !table_broad(table) ? "wide long halves"
                                                                       : "wide long";
}

static bool html_table(struct paper *paper, const struct table *table, struct problem *problem)
{
    (void)problem;
    int columns = table_column_count(table);
    html_list(paper, PAPER_TABLE);
    fprintf(paper->stream, "<div class=\"%s\"%s><table%s>\n<thead><tr>", table_class(table),
            table_letters(table) > WIDE_LETTERS ? " tabindex=\"0\"" : "",
            table_broad(table) ? " class=\"broad\"" : "");
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
    return true;
}

static bool html_picture(struct paper *paper, enum picture_place place, const char *svg,
                         struct problem *problem)
{
    (void)problem;
    html_list(paper, PAPER_PICTURE);
    static const char *const classes[] = {[PICTURE_ACROSS] = "",
                                          [PICTURE_LARGE] = " class=\"large\"",
                                          [PICTURE_BESIDE] = " class=\"drawing\"",
                                          [PICTURE_FOR_NARROW] = " class=\"narrow\""};
    fprintf(paper->stream, "<figure%s>\n%s</figure>\n", classes[place], svg);
    return true;
}

static void html_part_begin(struct paper *paper, const char *name, const char *heading)
{
    fprintf(paper->stream, "<section class=\"%s\" lang=\"%s\">\n", name, language_now()->code);
    html_element(paper, PAPER_HEADING, heading);
}

static void html_part_end(struct paper *paper)
{
    fputs("</section>\n", paper->stream);
}

static void html_end(struct paper *paper)
{
    html_list(paper, PAPER_NOTHING);
}

const struct paper_writer paper_html = {
    .element = html_element,
    .table = html_table,
    .picture = html_picture,
    .part_begin = html_part_begin,
    .part_end = html_part_end,
    .end = html_end,
    .narrow_too = true,
};
