/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/form_kind.h"

#include "base/text.h"
#include "screen/form_lines.h"
#include "screen/form_value.h"
#include "screen/wording.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* The band about the target, begun with what is proposed from the target's own capture. */

static const struct form_row band_rows[] = {
    {FIELD_LIMIT, "above:", ", above", FORM_TYPED(TYPED_BAND), .each = FORM_BODY_CHANNELS},
    {FIELD_LIMIT, "below:", ", below", FORM_TYPED(TYPED_BAND), .each = FORM_BODY_CHANNELS},
};

static void limit_value(char *text, size_t size, bool has, double mm)
{
    text_copy(text, size, "");
    if (has && isfinite(mm)) {
        text_from_double_shortest(text, size, mm);
    } else if (has) {
        text_copy(text, size, "none");
    }
}

static void fill_band(struct form *form, const struct view *view)
{
    for (int i = 0; i < form->count; i++) {
        int c = form->field[i].channel;
        const struct view_channel *channel = &view->channel[c];
        char value[32];
        bool above = i % 2 == 0;
        limit_value(value, sizeof value, channel->has_band,
                    above ? channel->band_above_mm : channel->band_below_mm);
        for (int p = 0; p < view->snapshot->proposal_count[c] && !channel->has_band; p++) {
            const struct band_proposal *proposal = &view->snapshot->proposal[c][p];
            if (proposal->suggested) {
                limit_value(value, sizeof value, true,
                            round(above ? proposal->above_mm : proposal->below_mm));
            }
        }
        form_prefill(&form->field[i], value);
    }
}

static void put_limit(char *text, size_t size, const struct form_field *field, char sign)
{
    char number[32];
    if (strcmp(field->value, "none") == 0 || !form_given(field)) {
        text_copy(text, size, "none");
        return;
    }
    text_from_double_shortest(number, sizeof number, fabs(form_number(field)));
    snprintf(text, size, "%c%s", sign, number);
}

static bool band_lines(struct form *form, const struct view *view)
{
    struct form_line line = form_line_begin(form, "band");
    for (int i = 0; i + 1 < form->count; i += 2) {
        const struct form_field *above = &form->field[i], *below = &form->field[i + 1];
        if (!form_given(above) && !form_given(below)) {
            continue;
        }
        char up[40], down[40], both[96];
        put_limit(up, sizeof up, above, '+');
        put_limit(down, sizeof down, below, '-');
        snprintf(both, sizeof both, "%s/%s", up, down);
        form_line_text(&line, snapshot_channel(view->snapshot, above->channel)->name, both);
    }
    return form_line_end(&line, "type the limits above and below, in mm, or 'none'");
}

static void limits_text(char *text, size_t size, const struct band_proposal *proposal)
{
    char above[24], below[24];
    wording_signed(above, sizeof above, proposal->above_mm);
    wording_signed(below, sizeof below, -proposal->below_mm);
    snprintf(text, size, "%s / %s", isfinite(proposal->above_mm) ? above : "none",
             isfinite(proposal->below_mm) ? below : "none");
}

/* Bands proposed from the target's own capture, with what each is expected to tell the
 * rider in a hold. */
static void draw_proposals(struct canvas *canvas, struct form *form, const struct view *view,
                           int row, int rows)
{
    (void)form;
    for (int c = 0; c < view->channel_count && rows > 1; c++) {
        const struct band_proposal *proposals = view->snapshot->proposal[c];
        int count = view->snapshot->proposal_count[c];
        if (count == 0) {
            continue;
        }
        char band[64] = "";
        for (int p = 0; p < count; p++) {
            if (proposals[p].suggested) {
                limits_text(band, sizeof band, &proposals[p]);
            }
        }
        canvas_print(canvas, row, 1, canvas->columns - 2, STYLE_FAINT,
                     "%s: proposed from the target's capture%s%s",
                     snapshot_channel(view->snapshot, c)->name,
                     band[0] != '\0' ? "; suggested " : "", band);
        row++;
        rows--;
        for (int p = 0; p < count && rows > 0; p++, row++, rows--) {
            const struct band_proposal *proposal = &proposals[p];
            char limits[64];
            limits_text(limits, sizeof limits, proposal);
            enum style style = proposal->suggested ? STYLE_STRONG : STYLE_PLAIN;
            canvas_text(canvas, row, 3, 12, style, limits);
            canvas_print(canvas, row, 16, canvas->columns - 17, style,
                         "%.1f cues/min, in band %.0f%%  %s%s", proposal->cues_per_min,
                         100.0 * proposal->in_band_share,
                         proposal->words != NULL ? proposal->words : "",
                         proposal->suggested ? " (suggested)" : "");
        }
    }
}

const struct form_kind_row form_band = {
    .title = "THE BAND",
    .explanation = "tight above, looser below; 'none' is no limit on that side",
    FORM_ROWS(band_rows),
    .fill = fill_band,
    .lines = band_lines,
    .draw_below = draw_proposals,
};
