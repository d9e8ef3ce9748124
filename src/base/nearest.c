/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/nearest.h"

#include <stdio.h>
#include <string.h>

int slips_between(const char *a, const char *b)
{
    enum { MOST = 24 };
    int row[MOST + 1][MOST + 1];
    int a_length = 0;
    int b_length = 0;
    for (; a[a_length] != '\0'; a_length++) {
        if (a_length == MOST) {
            return MOST;
        }
        row[a_length][0] = a_length;
    }
    row[a_length][0] = a_length;
    for (; b[b_length] != '\0'; b_length++) {
        if (b_length == MOST) {
            return MOST;
        }
        row[0][b_length] = b_length;
    }
    row[0][b_length] = b_length;
    for (int i = 1; i <= a_length; i++) {
        for (int j = 1; j <= b_length; j++) {
            int least = row[i - 1][j - 1] + (a[i - 1] != b[j - 1]);
            least = row[i - 1][j] + 1 < least ? row[i - 1][j] + 1 : least;
            least = row[i][j - 1] + 1 < least ? row[i][j - 1] + 1 : least;
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] &&
                row[i - 2][j - 2] + 1 < least) {
                least = row[i - 2][j - 2] + 1;
            }
            row[i][j] = least;
        }
    }
    return row[a_length][b_length];
}

struct nearest nearest_to(const char *asked)
{
    return (struct nearest){asked, NULL, SLIPS_MEANT_MOST + 1};
}

void nearest_try(struct nearest *nearest, const char *word)
{
    int slips = slips_between(nearest->asked, word);
    if (slips < nearest->slips && slips < (int)strlen(nearest->asked)) {
        nearest->slips = slips;
        nearest->word = word;
    }
}

const char *nearest_text(const struct nearest *nearest, const char *before, char *text, size_t size)
{
    text[0] = '\0';
    if (nearest->word != NULL && nearest->slips > 0) {
        snprintf(text, size, "; did you mean '%s%s'?", before, nearest->word);
    }
    return text;
}
