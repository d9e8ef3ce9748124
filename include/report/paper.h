#ifndef HOLDLINE_REPORT_PAPER_H
#define HOLDLINE_REPORT_PAPER_H

#include "report/table.h"

/* What reports are written on: they say what stands there (a title, a paragraph, an item, a table),
 * the paper knows how that looks as text for a terminal or as HTML. */
enum paper_kind { PAPER_TEXT, PAPER_HTML };
enum paper_element {
    PAPER_NOTHING,
    PAPER_TITLE,
    PAPER_LINE,
    PAPER_PARAGRAPH,
    PAPER_ITEM,
    PAPER_LABEL,
    PAPER_UNDER,
    PAPER_TABLE,
    PAPER_NOTE,
};
struct paper {
    FILE *stream;
    enum paper_kind kind;
    int width;               /* text: cells */
    enum paper_element last; /* what was written last: gaps and lists follow from it */
};

void paper_begin(struct paper *paper, FILE *stream, enum paper_kind kind, int width);
/* Closes what is open (a list). */
void paper_end(struct paper *paper);

void paper_title(struct paper *paper, const char *title);
/* A line of the heading: who, which bike, when. */
void paper_line(struct paper *paper, const char *format, ...) __attribute__((format(printf, 2, 3)));
void paper_paragraph(struct paper *paper, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
/* One of a list. */
void paper_item(struct paper *paper, const char *format, ...) __attribute__((format(printf, 2, 3)));
/* A thing with a name, and what is said of it under that. */
void paper_label(struct paper *paper, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
void paper_under(struct paper *paper, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
/* Stands under a table. */
void paper_note(struct paper *paper, const char *format, ...) __attribute__((format(printf, 2, 3)));
bool paper_table(struct paper *paper, const struct table *table, struct problem *problem);

/* Text into HTML, SVG or XML: what would be markup is written as text. */
void paper_escape(FILE *stream, const char *text);

#endif
