/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The PDF: the rider's sheet on two pages at most, then the fitter's report. Everything is laid out
 * once without drawing, to know how many pages there will be and how small the sheet has to be set.
 */
#include "pages.h"
#include "pages_library.h"
#include "paper_sizes.h"
#include "report/document.h"

#include "base/language.h"
#include "base/text.h"
#include "say/say.h"

#define REPORT_SIZE 8.4
#define LETTER_SIZE 8.0 /* which is shorter: as many pages */
#define SHEET_SIZE 10.2
#define SHEET_READABLE 8.2
#define SHEET_SMALLEST 5.4
#define STEP 0.4
#define SHEET_PAGES 2

struct setting {
    struct pages_settings settings;
    const struct document *document;
    double sheet_size, picture_scale;
    char sheet_running[2 * SAY_SIZE]; /* in the sheet's language */
};

static bool set_sheet(const struct setting *setting, struct pages *pages, struct paper *paper,
                      struct problem *problem)
{
    pages_paper(pages, paper);
    pages_set_size(pages, setting->sheet_size);
    pages_set_picture_scale(pages, setting->picture_scale);
    pages_set_running(pages, setting->sheet_running);
    bool done = document_sheet(paper, setting->document, problem);
    pages_set_size(pages, setting->settings.size_pt);
    pages_set_running(pages, setting->settings.running);
    return done;
}

/* Pages that the sheet takes, or sheet and report. 0 with a problem. */
static int count_pages(const struct setting *setting, bool with_report, struct problem *problem)
{
    struct pages *pages = pages_create(NULL, &setting->settings, problem);
    struct paper paper;
    int count = 0;
    if (pages == NULL) {
        return 0;
    }
    bool done = set_sheet(setting, pages, &paper, problem);
    done = done && (!with_report || document_report(&paper, setting->document, problem));
    count = done ? pages_count(pages) : 0;
    pages_destroy(pages);
    return count;
}

/* The sheet on two pages: in the largest type that can be read, if need be with its large picture
 * smaller; where that is not enough, in smaller type. */
static bool fit_sheet(struct setting *setting, struct problem *problem)
{
    static const double scales[] = {1, 0.92, 0.85};
    const size_t last = sizeof scales / sizeof scales[0] - 1;
    for (size_t i = 0; i <= last; i++) {
        const double smallest = i < last ? SHEET_READABLE : SHEET_SMALLEST;
        setting->picture_scale = scales[i];
        for (int step = 0; SHEET_SIZE - step * STEP > smallest - STEP / 2; step++) {
            setting->sheet_size = SHEET_SIZE - step * STEP;
            int count = count_pages(setting, false, problem);
            if (count == 0) {
                return false;
            }
            if (count <= SHEET_PAGES) {
                return true;
            }
        }
    }
    return true;
}

static bool draw(const struct setting *setting, FILE *stream, struct problem *problem)
{
    struct pages *pages = pages_create(stream, &setting->settings, problem);
    struct paper paper;
    if (pages == NULL) {
        return false;
    }
    bool done = set_sheet(setting, pages, &paper, problem);
    done = done && document_report(&paper, setting->document, problem);
    done = pages_finish(pages, done ? problem : NULL) && done;
    pages_destroy(pages);
    return done;
}

static void running_head(const struct report_input *input, char *text, size_t size)
{
    const struct rider_record *rider = &input->record->rider;
    char title[SAY_SIZE];
    size_t used = 0;
    document_title(input, title, sizeof title);
    text_copy(text, size, "");
    text_append(text, size, &used, "%s", title);
    if (input->record->has_rider && rider->name[0] != '\0') {
        text_append(text, size, &used, ", %s", rider->name);
    }
}

bool report_pdf(FILE *stream, const struct report_input *input, sample_source *source,
                void *context, struct problem *problem)
{
    if (!pages_have_memory(problem)) {
        return false;
    }
    struct traces *traces = traces_make(input, source, context, problem);
    struct document document = {input, traces, source, context, kept_pictures_create()};
    char running[2 * SAY_SIZE], title[SAY_SIZE];
    if (traces == NULL) {
        kept_pictures_destroy(document.kept);
        return false;
    }
    const double *size_pt = paper_sizes_pt[input->page_size];
    struct setting setting = {
        .settings = {.width_pt = size_pt[0],
                     .height_pt = size_pt[1],
                     .size_pt = input->page_size == PAGE_LETTER ? LETTER_SIZE : REPORT_SIZE,
                     .running = running,
                     .title = title,
                     .created_ms = input->record->started_ms},
        .document = &document};
    const struct language *before = language_enter(input->language);
    running_head(input, setting.sheet_running, sizeof setting.sheet_running);
    language_enter(input->sheet_only ? input->language : &language_english);
    document_title(input, title, sizeof title);
    running_head(input, running, sizeof running);
    language_enter(before);
    bool done = fit_sheet(&setting, problem);
    if (done) {
        setting.settings.page_count = count_pages(&setting, true, problem);
        done = setting.settings.page_count > 0 && draw(&setting, stream, problem);
    }
    kept_pictures_destroy(document.kept);
    traces_free(traces);
    return done && (!ferror(stream) || problem_set(problem, "the pages could not be written"));
}
