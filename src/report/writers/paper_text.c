/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Paper as text for a terminal: no pictures. */
#include "report/paper.h"

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
    case PAPER_DECISION:
    case PAPER_LEAD:
        break;
    }
    return false;
}

static void text_element(struct paper *paper, enum paper_element element, const char *text)
{
    char item[PAPER_ELEMENT_SIZE + 2];
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
    case PAPER_DECISION:
    case PAPER_LEAD:
        break;
    }
    paragraph_write(paper->stream, 0, 0, paper->width, text);
}

static bool text_table(struct paper *paper, const struct table *table, struct problem *problem)
{
    if (gap(paper->last, PAPER_TABLE)) {
        fputc('\n', paper->stream);
    }
    return table_write(table, paper->stream, 0, paper->width, problem);
}

static void text_part_begin(struct paper *paper, const char *name, const char *heading)
{
    (void)name;
    text_element(paper, PAPER_HEADING, heading);
}

const struct paper_writer paper_text = {
    .element = text_element,
    .table = text_table,
    .part_begin = text_part_begin,
};
