/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What each thing on a page is, for those who have it read aloud (tagged PDF, ISO 32000-1, 14.8).
 * Running heads and feet have no tag. cairo 1.16 carries no alternative texts. */
#include "pages_inside.h"

void pages_tag_begin(struct pages *pages, const char *tag)
{
    if (pages->cairo != NULL) {
        pages->use.cairo_tag_begin(pages->cairo, tag, NULL);
    }
}

void pages_tag_end(struct pages *pages, const char *tag)
{
    if (pages->cairo != NULL) {
        pages->use.cairo_tag_end(pages->cairo, tag);
    }
}

void pages_leaf_begin(struct pages *pages, const char *tag)
{
    pages->leaf = tag;
    pages_tag_begin(pages, tag);
}

void pages_leaf_end(struct pages *pages)
{
    pages_tag_end(pages, pages->leaf);
    pages->leaf = NULL;
}

void pages_list(struct pages *pages, bool item)
{
    if (item && !pages->in_list) {
        pages_tag_begin(pages, "L");
    } else if (!item && pages->in_list) {
        pages_tag_end(pages, "L");
    }
    pages->in_list = item;
}
