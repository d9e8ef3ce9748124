/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/page.h"

#include "base/text.h"
#include "record/rider_code.h"
#include "rig/auxiliary.h"
#include "say/taken.h"
#include "screen/wording.h"

#include <math.h>
#include <string.h>

/* What the pages have in common: who was here before, the channels, holds and setups they show. The
 * two lines at the bottom: page_foot.c. */

bool page_was_here(const struct view *view, char *text, size_t size)
{
    const struct session_record *record = &view->snapshot->record;
    const struct view_carry_session *latest = &view->offers->session[0];
    const struct view_carry_session *alike = &view->offers->alike;
    bool asked = record->has_rider && !record->has_bike && record->setup_count == 0;
    text_copy(text, size, "");
    if (asked && view->offers->count > 0 && strcmp(latest->rider_code, record->rider.code) == 0) {
        say_was_here(text, size, record->rider.code, latest->day);
    } else if (asked && view->offers->count == 0 &&
               rider_codes_alike(alike->rider_code, record->rider.code)) {
        say_was_here_alike(text, size, record->rider.code, alike->rider_code, alike->day);
    }
    return text[0] != '\0';
}

int page_body_channels(const struct view *view, int index[CHANNELS_MAX])
{
    int count = 0;
    for (int c = 0; c < view->channel_count && c < CHANNELS_MAX; c++) {
        if (snapshot_channel(view->snapshot, c)->role == ROLE_BODY &&
            auxiliary_of(snapshot_channel(view->snapshot, c)->name) < 0) {
            index[count++] = c;
        }
    }
    return count;
}

int page_latest_holds(const struct session_record *record, int hold[PAGE_HOLDS])
{
    int count = 0;
    for (int h = record->hold_count - 1; h >= 0 && count < PAGE_HOLDS; h--) {
        if (record->hold[h].status != HOLD_RUNNING) {
            hold[count++] = h;
        }
    }
    return count;
}

int page_setup_of_hold(const struct session_record *record, const struct hold_record *hold)
{
    return record->setup[record->build[hold->build].setup].number;
}

struct page_hold_numbers page_hold_numbers(const struct view *view, int hold, int channel)
{
    const struct hold_result *result = &view->snapshot->analysis.hold[hold];
    const struct hold_summary *summary = &result->summary[channel];
    struct page_hold_numbers numbers = {NAN, NAN, NAN};
    if (result->has[channel] && summary->status == MEASURE_OK) {
        numbers.mean_mm = summary->mean_mm;
        numbers.half_width_mm = summary->has_interval ? summary->mean_half_width_mm : (double)NAN;
        numbers.in_band_share = summary->has_band ? summary->in_band_share : (double)NAN;
    }
    return numbers;
}

void page_setup_words(char *text, size_t size, const struct session_record *record, int setup)
{
    const struct setup_record *row = &record->setup[setup];
    text_copy(text, size, row->intent);
    if (text[0] == '\0' && setup > 0) {
        bike_changes_text(text, size, &record->setup[setup - 1].bike, &row->bike);
    }
}

void page_progress_bar(struct canvas *canvas, int row, int column, int columns, double share)
{
    int eighths = (int)(fmax(0.0, fmin(1.0, share)) * columns * 8);
    for (int c = 0; c < columns; c++) {
        int here = eighths - c * 8;
        uint32_t code = ' ';
        if (here >= 8) {
            code = canvas->letters == LETTERS_ASCII ? '#' : 0x2588;
        } else if (here > 0 && canvas->letters == LETTERS_FULL) {
            code = 0x2590 - (uint32_t)here; /* left blocks: 0x258F is one eighth */
        } else if (canvas->letters == LETTERS_ASCII) {
            code = '.';
        }
        canvas_put(canvas, row, column + c, STYLE_PANEL_NEXT, code);
    }
}

bool page_next_compares(const struct view *view)
{
    return view->next == VIEW_NEXT_WAIT && view->phase == VIEW_LIVE &&
           view->snapshot->record.setup_count > 0;
}

void page_band_suggested(char *text, size_t size, const struct view *view)
{
    size_t used = 0;
    text_copy(text, size, "");
    for (int c = 0; c < view->channel_count; c++) {
        const struct channel_record *channel = snapshot_channel(view->snapshot, c);
        for (int p = 0; p < view->snapshot->proposal_count[c]; p++) {
            const struct band_proposal *proposal = &view->snapshot->proposal[c][p];
            char above[24], below[24];
            if (channel->role != ROLE_BODY || !proposal->suggested) {
                continue;
            }
            wording_signed(above, sizeof above, proposal->above_mm);
            wording_signed(below, sizeof below, -proposal->below_mm);
            text_append(text, size, &used, "%s%s %s/%s", used > 0 ? ", " : "", channel->name,
                        isfinite(proposal->above_mm) ? above : "none",
                        isfinite(proposal->below_mm) ? below : "none");
            break;
        }
    }
}
