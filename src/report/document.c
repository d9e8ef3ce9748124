/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The sheet and the report as lists of sections and pictures, for whatever paper. */
#include "report/document.h"

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

struct drawing {
    FILE *stream;
    char *text;
    size_t length;
};

static FILE *drawing_begin(struct drawing *drawing)
{
    *drawing = (struct drawing){NULL, NULL, 0};
    drawing->stream = open_memstream(&drawing->text, &drawing->length);
    return drawing->stream;
}

static bool drawing_end(struct drawing *drawing, struct paper *paper, enum picture_place place,
                        struct problem *problem)
{
    bool done = fclose(drawing->stream) == 0 || problem_set(problem, "no memory for a picture");
    done = done && paper_picture(paper, place, drawing->text, problem);
    free(drawing->text);
    return done;
}

static bool no_memory(struct problem *problem)
{
    return problem_set(problem, "no memory for a picture");
}

static bool heights_picture(struct paper *paper, const struct document *document, int channel,
                            int rows, struct problem *problem)
{
    struct drawing drawing;
    if (drawing_begin(&drawing) == NULL) {
        return no_memory(problem);
    }
    plot_heights(drawing.stream, document->input, channel, rows);
    return drawing_end(&drawing, paper, PICTURE_ACROSS, problem);
}

/* At most so many channels, and so many setups of each. */
static bool heights_pictures(struct paper *paper, const struct document *document, int most,
                             int rows, struct problem *problem)
{
    const struct analysis *analysis = document->input->analysis;
    bool done = true;
    for (int channel = 0; done && channel < analysis->channel_count && most > 0; channel++) {
        if (analysis->body[channel] && document->input->record->setup_count > 0) {
            most--;
            done = heights_picture(paper, document, channel, rows, problem);
        }
    }
    return done;
}

static bool tradeoff_picture(struct paper *paper, const struct document *document,
                             struct problem *problem)
{
    struct drawing drawing;
    if (drawing_begin(&drawing) == NULL) {
        return no_memory(problem);
    }
    plot_tradeoff(drawing.stream, document->input, false);
    return drawing_end(&drawing, paper, PICTURE_ACROSS, problem);
}

static bool cloud_picture(struct paper *paper, const struct document *document,
                          struct problem *problem)
{
    struct drawing drawing;
    if (drawing_begin(&drawing) == NULL) {
        return no_memory(problem);
    }
    plot_cloud(drawing.stream, document->input, document->traces, false);
    return drawing_end(&drawing, paper, PICTURE_ACROSS, problem);
}

static bool holds_pictures(struct paper *paper, const struct document *document,
                           struct problem *problem)
{
    const struct analysis *analysis = document->input->analysis;
    const struct traces *traces = document->traces;
    bool done = true;
    for (int channel = 0; done && channel < analysis->channel_count; channel++) {
        int hold = analysis->body[channel] ? 0 : traces->hold_count;
        while (done && hold < traces->hold_count) {
            struct drawing drawing;
            if (drawing_begin(&drawing) == NULL) {
                return no_memory(problem);
            }
            hold = plot_holds(drawing.stream, document->input, traces, channel, hold);
            done = drawing_end(&drawing, paper, PICTURE_ACROSS, problem);
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
        struct drawing drawing;
        if (!analysis->body[channel]) {
            continue;
        }
        if (drawing_begin(&drawing) == NULL) {
            return no_memory(problem);
        }
        plot_bands(drawing.stream, document->input, document->source, document->context, channel,
                   false);
        done = drawing_end(&drawing, paper, PICTURE_ACROSS, problem);
    }
    return done;
}

/* The bike as chosen, over the bike as found; or as found alone. */
static bool bike_picture(struct paper *paper, const struct document *document,
                         struct problem *problem)
{
    struct drawing drawing;
    if (drawing_begin(&drawing) == NULL) {
        return no_memory(problem);
    }
    bool done =
        plot_bike(drawing.stream, document->input, sheet_chosen(document->input), false, problem);
    return drawing_end(&drawing, paper, PICTURE_BESIDE, problem) && done;
}

static bool still_pictures(struct paper *paper, const struct document *document,
                           struct problem *problem)
{
    bool done = true;
    for (int check = 0; done && check < document->input->record->check_count; check++) {
        struct drawing drawing;
        if (drawing_begin(&drawing) == NULL) {
            return no_memory(problem);
        }
        plot_still(drawing.stream, document->input, document->source, document->context, check,
                   false);
        done = drawing_end(&drawing, paper, PICTURE_ACROSS, problem);
    }
    return done;
}

static bool fronts_picture(struct paper *paper, const struct document *document,
                           struct problem *problem)
{
    struct drawing drawing;
    if (drawing_begin(&drawing) == NULL) {
        return no_memory(problem);
    }
    plot_fronts(drawing.stream, document->input, false);
    return drawing_end(&drawing, paper, PICTURE_ACROSS, problem);
}

/* ---- the two parts --------------------------------------------------------------------------- */

/* Two pages at most: the bike; heights and trade-off as evidence. */
bool document_sheet(struct paper *paper, const struct document *document, struct problem *problem)
{
    static report_section *const above[] = {sheet_bike, sheet_wrench, sheet_evidence};
    static report_section *const last[] = {sheet_practice, section_cautions};
    paper_part_begin(paper, "sheet", "Your posture session");
    bool done = sheet_heading(paper, document->input, problem) &&
                sheet_attention(paper, document->input, problem) &&
                bike_picture(paper, document, problem) && SECTIONS(above) &&
                heights_pictures(paper, document, 1, SHEET_ROWS, problem) &&
                tradeoff_picture(paper, document, problem) && SECTIONS(last);
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
                cloud_picture(paper, document, problem) && SECTIONS(kept) && SECTIONS(middle) &&
                section_setups(paper, document->input, problem) &&
                fronts_picture(paper, document, problem) && SECTIONS(parts) &&
                bands_pictures(paper, document, problem) &&
                section_holds(paper, document->input, problem) &&
                holds_pictures(paper, document, problem) &&
                section_effort(paper, document->input, problem) && SECTIONS(lists) &&
                still_pictures(paper, document, problem) && SECTIONS(last);
    paper_part_end(paper);
    return done;
}
