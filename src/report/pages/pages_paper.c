/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Paper that is pages of a PDF. */
#include "pages_inside.h"

static void element(struct paper *paper, enum paper_element kind, const char *text)
{
    pages_element(paper->context, kind, paper->last, text);
}

static bool table(struct paper *paper, const struct table *filled, struct problem *problem)
{
    return pages_table(paper->context, filled, problem);
}

static bool picture(struct paper *paper, enum picture_place place, const char *svg,
                    struct problem *problem)
{
    return pages_picture(paper->context, place, svg, problem);
}

static void part_begin(struct paper *paper, const char *name, const char *heading)
{
    (void)name;
    pages_part(paper->context, heading);
}

void pages_paper(struct pages *pages, struct paper *paper)
{
    static const struct paper_writer writer = {
        .element = element,
        .table = table,
        .picture = picture,
        .part_begin = part_begin,
    };
    paper_begin(paper, &writer, NULL, 0);
    paper->context = pages;
}
