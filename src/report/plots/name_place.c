/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "name_place.h"

#include <stdbool.h>

#define OVER 0.75  /* of a letter's size: over the line it stands on */
#define UNDER 0.25 /* and under it */
#define ROW 1.05
#define GAP 9.0      /* beside a mark */
#define LOWERED 0.33 /* letters in the middle of their mark */

static bool is_free(const struct name_box *name, const struct name_box *boxes, int count)
{
    for (int i = 0; i < count; i++) {
        if (boxes[i].right > name->left && boxes[i].left < name->right &&
            boxes[i].bottom > name->top && boxes[i].top < name->bottom) {
            return false;
        }
    }
    return true;
}

static struct name_box box_at(double right, double line, double wide, double letter)
{
    return (struct name_box){right - wide, line - OVER * letter, right, line + UNDER * letter};
}

struct name_box name_place(double x, double far_x, double y, double wide, double letter,
                           const struct name_box *boxes, int count)
{
    static const double rows[] = {0, 1, -1, 2, -2};
    const double right[] = {x - GAP, far_x - GAP, x + wide / 2}, line = y + LOWERED * letter;
    for (int row = 0; row < 5; row++) {
        for (int end = 0; end < (row == 0 ? 2 : 3); end++) {
            struct name_box name =
                box_at(right[end], line + ROW * letter * rows[row], wide, letter);
            if (is_free(&name, boxes, count)) {
                return name;
            }
        }
    }
    return box_at(right[1], line, wide, letter);
}

double name_baseline(const struct name_box *name, double letter)
{
    return name->bottom - UNDER * letter;
}
