/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The sheet and the report as lists of sections and pictures, for whatever paper. */
#include "report/document.h"

#include "base/language.h"
#include "report/digest.h"
#include "report/plots.h"
#include "report/sheet.h"
#include "say/say.h"

#include <stdlib.h>

#define ROWS_LOW 8    /* with which it is low */
#define ROWS_MOST 20  /* setups that can be read in one picture */
#define ROWS_SHEET 12 /* of them on the sheet, with two pages for everything */

void document_title(const struct report_input *input, char *text, size_t size)
{
    const struct session_record *record = input->record;
    char day[64];
    digest_day(input, day, sizeof day);
    snprintf(text, size, "%s, %s",
             record->has_rider && record->rider.code[0] != '\0' ? record->rider.code
                                                                : T_("Session"),
             day);
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

enum picture {
    DIFFERENCES,
    TRADEOFF,
    CLOUD,
    HOLDS,
    BANDS,
    POSTURE,
    STILL,
    FRONTS,
    DRAG,
    RESIDUALS,
    DRAG_HEIGHTS
};

/* Which one of its kind. */
struct which {
    int index; /* channel, check */
    int at;    /* of holds the first one, moved on to that of the next picture; of differences the
                  part, -1: the only one */
    enum picture_breadth breadth;
};

/* The body channels that get panels beside each other, two from the first one on. */
static int pair_of(const struct analysis *analysis, int first, int pair[2])
{
    int count = 0;
    for (int channel = first; channel < analysis->channel_count && count < 2; channel++) {
        if (analysis->body[channel]) {
            pair[count++] = channel;
        }
    }
    return count;
}

static void plot(FILE *stream, const struct document *document, enum picture picture,
                 struct which *which)
{
    const struct report_input *input = document->input;
    int pair[2], panels;
    switch (picture) {
    case DIFFERENCES:
        panels = pair_of(input->analysis, which->index, pair);
        if (panels > 0) {
            plot_differences(stream, input, pair, panels, which->at < 0 ? ROWS_SHEET : ROWS_MOST,
                             which->at, which->breadth, false);
        }
        return;
    case TRADEOFF:
        plot_tradeoff(stream, input, false);
        return;
    case CLOUD:
        plot_cloud(stream, input, document->traces, false);
        return;
    case HOLDS:
        which->at = plot_holds(stream, input, document->traces, which->index, which->at);
        return;
    case BANDS:
        plot_bands(stream, input, document->source, document->context, which->index, false);
        return;
    case POSTURE: /* as chosen, over the bike as found; or as found alone */
        plot_posture(stream, input, sheet_may_be_ridden(input) ? digest_chosen(input) : -1,
                     which->breadth);
        return;
    case STILL:
        plot_still(stream, input, document->source, document->context, which->index, false);
        return;
    case FRONTS:
        plot_fronts(stream, input, false);
        return;
    case DRAG:
        plot_drag(stream, input, false);
        return;
    case RESIDUALS:
        which->at = plot_residuals(stream, input, which->at, false);
        return;
    case DRAG_HEIGHTS:
        plot_drag_heights(stream, input, which->index, false);
        return;
    }
}

/* ---- pictures kept for the next time the same document is set ---- */

struct kept_picture {
    enum picture picture;
    const struct language *language;
    struct which which, after; /* asked for, and what plotting made of it */
    char *svg;
    struct kept_picture *next;
};

struct kept_pictures {
    struct kept_picture *first;
};

struct kept_pictures *kept_pictures_create(void)
{
    return calloc(1, sizeof(struct kept_pictures));
}

void kept_pictures_destroy(struct kept_pictures *kept)
{
    while (kept != NULL && kept->first != NULL) {
        struct kept_picture *gone = kept->first;
        kept->first = gone->next;
        free(gone->svg);
        free(gone);
    }
    free(kept);
}

static struct kept_picture *draw_picture(const struct document *document, enum picture picture,
                                         const struct which *which)
{
    struct kept_picture *drawn = calloc(1, sizeof *drawn);
    size_t length = 0;
    FILE *stream = drawn != NULL ? open_memstream(&drawn->svg, &length) : NULL;
    if (stream == NULL) {
        free(drawn);
        return NULL;
    }
    drawn->picture = picture;
    drawn->language = language_now();
    drawn->which = drawn->after = *which;
    plot(stream, document, picture, &drawn->after);
    if (fclose(stream) != 0) {
        free(drawn->svg);
        free(drawn);
        return NULL;
    }
    return drawn;
}

static struct kept_picture *look_up(const struct kept_pictures *kept, enum picture picture,
                                    const struct which *which)
{
    struct kept_picture *at = kept != NULL ? kept->first : NULL;
    while (at != NULL && (at->picture != picture || at->language != language_now() ||
                          at->which.index != which->index || at->which.at != which->at ||
                          at->which.breadth != which->breadth)) {
        at = at->next;
    }
    return at;
}

static bool set_picture(struct paper *paper, const struct document *document, enum picture picture,
                        struct which *which, struct problem *problem)
{
    struct kept_picture *drawn = look_up(document->kept, picture, which);
    bool again = drawn != NULL;
    if (!again) {
        drawn = draw_picture(document, picture, which);
    }
    if (drawn == NULL) {
        return problem_set(problem, "no memory for a picture");
    }
    *which = drawn->after;
    bool done = paper_picture(paper,
                              which->breadth == PICTURE_NARROW ? PICTURE_FOR_NARROW
                              : picture == POSTURE             ? PICTURE_LARGE
                                                               : PICTURE_ACROSS,
                              drawn->svg, problem);
    if (!again && document->kept != NULL) {
        drawn->next = document->kept->first;
        document->kept->first = drawn;
    } else if (!again) {
        free(drawn->svg);
        free(drawn);
    }
    return done;
}
#define PICTURE(kind) set_picture(paper, document, kind, &(struct which){0}, problem)

/* Of the sheet: on a telephone another drawing of the same. */
static bool both_breadths(struct paper *paper, const struct document *document,
                          enum picture picture, int part, struct problem *problem)
{
    struct which broad = {0, part, PICTURE_BROAD}, narrow = {0, part, PICTURE_NARROW};
    return set_picture(paper, document, picture, &broad, problem) &&
           (!paper->writer->narrow_too || set_picture(paper, document, picture, &narrow, problem));
}

/* Of all channels and setups; those of the first pair stand on the sheet, where they had room. */
static bool differences_pictures(struct paper *paper, const struct document *document,
                                 struct problem *problem)
{
    const struct analysis *analysis = document->input->analysis;
    bool done = true;
    int pair[2], from = 0;
    for (int count; done && (count = pair_of(analysis, from, pair)) > 0;
         from = pair[count - 1] + 1) {
        bool shown = from == 0 && document->input->record->setup_count <= ROWS_SHEET;
        int parts = (document->input->record->setup_count + ROWS_MOST - 2) / (ROWS_MOST - 1);
        for (int part = 0; done && !shown && part < parts; part++) {
            struct which which = {from, part, PICTURE_BROAD};
            done = set_picture(paper, document, DIFFERENCES, &which, problem);
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
        struct which which = {channel, 0, PICTURE_BROAD};
        while (done && analysis->body[channel] && which.at < document->traces->hold_count) {
            done = set_picture(paper, document, HOLDS, &which, problem);
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
        struct which which = {channel, 0, PICTURE_BROAD};
        done = !analysis->body[channel] || set_picture(paper, document, BANDS, &which, problem);
    }
    return done;
}

static bool still_pictures(struct paper *paper, const struct document *document,
                           struct problem *problem)
{
    bool done = true;
    for (int check = 0; done && check < document->input->record->check_count; check++) {
        struct which which = {check, 0, PICTURE_BROAD};
        done = set_picture(paper, document, STILL, &which, problem);
    }
    return done;
}

/* Crosses of each channel, then what each run leaves unexplained. */
static bool drag_pictures(struct paper *paper, const struct document *document,
                          struct problem *problem)
{
    const struct analysis *analysis = document->input->analysis;
    bool done = true;
    for (int channel = 0; done && channel < analysis->channel_count; channel++) {
        struct which which = {channel, 0, PICTURE_BROAD};
        done =
            !analysis->body[channel] || set_picture(paper, document, DRAG_HEIGHTS, &which, problem);
    }
    struct which which = {0, 0, PICTURE_BROAD};
    while (done && which.at < document->input->record->run_count) {
        done = set_picture(paper, document, RESIDUALS, &which, problem);
    }
    return done;
}

/* ---- the two parts --------------------------------------------------------------------------- */

/* Two pages: what to do; why; how to practise. A high picture comes behind the words, so that the
 * first page is filled. */
bool document_sheet(struct paper *paper, const struct document *document, struct problem *problem)
{
    static report_section *const first[] = {sheet_heading, sheet_decision, sheet_attention};
    static report_section *const words[] = {sheet_evidence, sheet_practice};
    static report_section *const last[] = {sheet_rest, sheet_cautions};
    const struct report_input *input = document->input;
    bool high = input->record->setup_count > ROWS_LOW;
    const struct language *before = language_enter(input->language);
    paper_part_begin(paper, "sheet", T_("Your posture session"));
    bool done = SECTIONS(first) && both_breadths(paper, document, POSTURE, 0, problem) &&
                sheet_wrench(paper, input, problem) && (!high || SECTIONS(words)) &&
                both_breadths(paper, document, DIFFERENCES, -1, problem) &&
                (high || sheet_evidence(paper, input, problem)) &&
                sheet_drag(paper, input, problem) && PICTURE(DRAG) &&
                (high || sheet_practice(paper, input, problem)) && SECTIONS(last);
    paper_part_end(paper);
    language_enter(before);
    return done;
}

/* What the sheet shows is not shown again. */
bool document_report(struct paper *paper, const struct document *document, struct problem *problem)
{
    static report_section *const first[] = {section_heading, section_attention, section_heights};
    static report_section *const kept[] = {section_steadiness, section_insight};
    static report_section *const middle[] = {section_certainty, section_data_quality};
    static report_section *const parts[] = {section_ties, section_targets};
    static report_section *const lists[] = {section_notes, section_checks};
    static report_section *const last[] = {section_method};
    if (document->input->sheet_only) {
        return true;
    }
    paper_part_begin(paper, "report", "The fitter's report");
    bool done = SECTIONS(first) && differences_pictures(paper, document, problem) &&
                SECTIONS(kept) && PICTURE(TRADEOFF) && PICTURE(CLOUD) && SECTIONS(middle) &&
                section_setups(paper, document->input, problem) && PICTURE(FRONTS) &&
                SECTIONS(parts) && bands_pictures(paper, document, problem) &&
                section_holds(paper, document->input, problem) &&
                section_rides(paper, document->input, problem) &&
                section_effort(paper, document->input, problem) &&
                section_drag(paper, document->input, problem) && PICTURE(DRAG) &&
                section_runs(paper, document->input, problem) &&
                drag_pictures(paper, document, problem) && SECTIONS(lists) &&
                still_pictures(paper, document, problem) && SECTIONS(last) &&
                holds_pictures(paper, document, problem);
    paper_part_end(paper);
    return done;
}
