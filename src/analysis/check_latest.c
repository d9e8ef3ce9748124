/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis/check.h"

int check_latest(const struct session_record *record, int placing, int latest[CHECK_LATEST_MAX])
{
    int newest_first[CHECK_LATEST_MAX], count = 0;
    for (int i = record->check_count - 1; i >= 0 && count < CHECK_LATEST_MAX; i--) {
        const struct check_record *check = &record->check[i];
        bool listed = check->placing != placing;
        for (int k = 0; k < count && !listed; k++) {
            const struct check_record *later = &record->check[newest_first[k]];
            listed = later->kind == check->kind && later->channel == check->channel;
        }
        if (!listed) {
            newest_first[count++] = i;
        }
    }
    for (int k = 0; k < count; k++) {
        latest[k] = newest_first[count - 1 - k];
    }
    return count;
}
