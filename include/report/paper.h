/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_REPORT_PAPER_H
#define HOLDLINE_REPORT_PAPER_H

#include "report/table.h"

/* What reports are written on: they say what stands there (a title, a paragraph, an item, a table),
 * the paper knows how that looks as text for a terminal, as HTML, or on pages. */
enum paper_element {
    PAPER_NOTHING,
    PAPER_HEADING,
    PAPER_TITLE,
    PAPER_LINE,
    PAPER_PARAGRAPH,
    PAPER_ITEM,
    PAPER_LABEL,
    PAPER_UNDER,
    PAPER_TABLE,
    PAPER_NOTE,
    PAPER_PICTURE,
    PAPER_DECISION, /* what it came to, in the largest letters */
    PAPER_LEAD,     /* what is said with it */
};
struct paper {
    const struct paper_writer *writer; /* how it looks */
    FILE *stream;                      /* text, HTML */
    int width;                         /* text: cells */
    void *context;                     /* the writer's own */
    enum paper_element last;           /* what was written last: gaps and lists follow from it */
};

/* NARROW: the same picture once more, for a telephone; on other papers there is none. */
/* PICTURE_LARGE: across, and the first to be set smaller where there is too little room. */
enum picture_place { PICTURE_ACROSS, PICTURE_BESIDE, PICTURE_FOR_NARROW, PICTURE_LARGE };

/* One look. A writer knows the paper; the paper and what is written on it know no writer. */
struct paper_writer {
    void (*element)(struct paper *paper, enum paper_element element, const char *text);
    /* of a sound table */
    bool (*table)(struct paper *paper, const struct table *table, struct problem *problem);
    /* svg begins with '<svg'; NULL: no pictures */
    bool (*picture)(struct paper *paper, enum picture_place place, const char *svg,
                    struct problem *problem);
    void (*part_begin)(struct paper *paper, const char *name, const char *heading);
    void (*part_end)(struct paper *paper); /* may be NULL */
    void (*end)(struct paper *paper);      /* closes what is open; may be NULL */
    bool narrow_too;                       /* pictures are wanted for a telephone as well */
};
extern const struct paper_writer paper_text, paper_html;

/* Bytes at most of one element, the longest paragraph; more is cut. */
#define PAPER_ELEMENT_SIZE 4608

void paper_begin(struct paper *paper, const struct paper_writer *writer, FILE *stream, int width);
/* Closes what is open (a list). */
void paper_end(struct paper *paper);

/* A part of a document, for one reader; it begins on a page of its own. name: 'sheet'. */
void paper_part_begin(struct paper *paper, const char *name, const char *heading);
void paper_part_end(struct paper *paper);

void paper_title(struct paper *paper, const char *title);
/* A line of the heading: who, which bike, when. */
void paper_line(struct paper *paper, const char *format, ...) __attribute__((format(printf, 2, 3)));
/* What it came to; what is said with it. */
void paper_decision(struct paper *paper, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
void paper_lead(struct paper *paper, const char *format, ...) __attribute__((format(printf, 2, 3)));
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

/* A picture as SVG (the whole text of it): across the page, or at the right of what comes next
 * where there is room. Text has no pictures. svg NULL or empty: there is none. */
bool paper_picture(struct paper *paper, enum picture_place place, const char *svg,
                   struct problem *problem);

/* Bytes at the start of text that are a word of warning ('FAILED'), which stands out; 0 = none. */
size_t paper_warning_length(const char *text);

/* Text into HTML, SVG or XML: what would be markup is written as text. */
void paper_escape(FILE *stream, const char *text);

#endif
