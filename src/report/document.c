/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The sheet and the report as lists of sections and pictures, for whatever paper. */
#include "report/document.h"

#include "report/digest.h"
#include "report/plots.h"
#include "report/sheet.h"
#include "report/side_view.h"
#include "say/say.h"

#include <stdlib.h>

#define SHEET_ROWS 8 /* setups that can be read in the picture on the rider's sheet */

void document_title(const struct report_input *input, char *text, size_t size)
{
    const struct session_record *record = input->record;
    char date[64];
    say_date(date, sizeof date, record->started_ms);
    snprintf(text, size, "%s, %s",
             record->has_rider && record->rider.code[0] != '\0' ? record->rider.code : "Session",
             date);
}

static bool sections(struct paper *paper, report_section *const *list, size_t count,
                     const struct report_input *input, struct problem *problem)
{
    for (size_t i = 0; i < count; i++) {
        if (!list[i](paper, input, problem)) {
            return false;
        }
    }
    return true;
}
#define SECTIONS(list)                                                                             \
    sections(paper, list, sizeof(list) / sizeof((list)[0]), document->input, problem)

/* ---- pictures: drawn into memory, then set on the paper -------------------------------------- */

enum picture { HEIGHTS, TRADEOFF, CLOUD, HOLDS, BANDS, BIKE, STILL, FRONTS };

/* which: channel or check. at: of heights the most setups, of holds the first one, moved on to that
 * of the next picture. */
static bool plot(FILE *stream, const struct document *document, enum picture picture, int which,
                 int *at, struct problem *problem)
{
    const struct report_input *input = document->input;
    switch (picture) {
    case HEIGHTS:
        plot_heights(stream, input, which, *at);
        return true;
    case TRADEOFF:
        plot_tradeoff(stream, input, false);
        return true;
    case CLOUD:
        plot_cloud(stream, input, document->traces, false);
        return true;
    case HOLDS:
        *at = plot_holds(stream, input, document->traces, which, *at);
        return true;
    case BANDS:
        plot_bands(stream, input, document->source, document->context, which, false);
        return true;
    case BIKE: /* as chosen, over the bike as found; or as found alone */
        return plot_bike(stream, input, digest_chosen(input), false, problem);
    case STILL:
        plot_still(stream, input, document->source, document->context, which, false);
        return true;
    case FRONTS:
        plot_fronts(stream, input, false);
    }
    return true;
}

static bool set_picture(struct paper *paper, const struct document *document, enum picture picture,
                        int which, int *at, struct problem *problem)
{
    enum picture_place place = picture == BIKE ? PICTURE_BESIDE : PICTURE_ACROSS;
    char *text = NULL;
    size_t length = 0;
    FILE *stream = open_memstream(&text, &length);
    bool drawn = stream != NULL && plot(stream, document, picture, which, at, problem);
    bool done = stream != NULL && fclose(stream) == 0
                    ? paper_picture(paper, place, text, problem)
                    : problem_set(problem, "no memory for a picture");
    free(text);
    return drawn && done;
}
#define PICTURE(kind) set_picture(paper, document, kind, 0, NULL, problem)

/* Of each channel of the body, at most so many, and so many setups of each. */
static bool heights_pictures(struct paper *paper, const struct document *document, int most,
                             int setups, struct problem *problem)
{
    const struct analysis *analysis = document->input->analysis;
    bool done = true;
    for (int channel = 0; done && channel < analysis->channel_count && most > 0; channel++) {
        if (analysis->body[channel] && document->input->record->setup_count > 0) {
            most--;
            done = set_picture(paper, document, HEIGHTS, channel, &setups, problem);
        }
    }
    return done;
}

static bool holds_pictures(struct paper *paper, const struct document *document,
                           struct problem *problem)
{
    const struct analysis *analysis = document->input->analysis;
    bool done = true;
    for (int channel = 0; done && channel < analysis->channel_count; channel++) {
        int hold = 0;
        while (done && analysis->body[channel] && hold < document->traces->hold_count) {
            done = set_picture(paper, document, HOLDS, channel, &hold, problem);
        }
    }
    return done;
}

static bool bands_pictures(struct paper *paper, const struct document *document,
                           struct problem *problem)
{
    const struct analysis *analysis = document->input->analysis;
    bool done = true;
    for (int channel = 0; done && channel < analysis->channel_count; channel++) {
        done =
            !analysis->body[channel] || set_picture(paper, document, BANDS, channel, NULL, problem);
    }
    return done;
}

static bool still_pictures(struct paper *paper, const struct document *document,
                           struct problem *problem)
{
    bool done = true;
    for (int check = 0; done && check < document->input->record->check_count; check++) {
        done = set_picture(paper, document, STILL, check, NULL, problem);
    }
    return done;
}

/* ---- the two parts --------------------------------------------------------------------------- */

/* Two pages at most: the bike; heights and trade-off as evidence. */
bool document_sheet(struct paper *paper, const struct document *document, struct problem *problem)
{
    static report_section *const above[] = {sheet_bike, sheet_wrench, sheet_evidence};
    static report_section *const last[] = {sheet_practice, section_cautions};
    paper_part_begin(paper, "sheet", "Your posture session");
    bool done = sheet_heading(paper, document->input, problem) &&
                sheet_attention(paper, document->input, problem) && PICTURE(BIKE) &&
                SECTIONS(above) && heights_pictures(paper, document, 1, SHEET_ROWS, problem) &&
                PICTURE(TRADEOFF) && SECTIONS(last);
    paper_part_end(paper);
    return done;
}

/* The picture of height against how it was kept stands on the sheet, and once is enough. */
bool document_report(struct paper *paper, const struct document *document, struct problem *problem)
{
    static report_section *const first[] = {section_heading, section_attention, section_heights};
    static report_section *const kept[] = {section_steadiness, section_insight};
    static report_section *const middle[] = {section_together, section_certainty,
                                             section_data_quality};
    static report_section *const parts[] = {section_ties, section_targets};
    static report_section *const last[] = {section_method, section_cautions};
    static report_section *const lists[] = {section_readings, section_ratings, section_checks};
    if (document->input->sheet_only) {
        return true;
    }
    paper_part_begin(paper, "report", "The fitter's report");
    bool done = SECTIONS(first) &&
                heights_pictures(paper, document, CHANNELS_MAX, SETUPS_MAX, problem) &&
                PICTURE(CLOUD) && SECTIONS(kept) && SECTIONS(middle) &&
                section_setups(paper, document->input, problem) && PICTURE(FRONTS) &&
                SECTIONS(parts) && bands_pictures(paper, document, problem) &&
                section_holds(paper, document->input, problem) &&
                holds_pictures(paper, document, problem) &&
                section_effort(paper, document->input, problem) && SECTIONS(lists) &&
                still_pictures(paper, document, problem) && SECTIONS(last);
    paper_part_end(paper);
    return done;
}
