/* One HTML file with everything in it: the rider's sheet, then the fitter's report. No script,
 * nothing from outside; readable on a phone, and it prints. */
#include "base/text.h"
#include "bike/side_view.h"
#include "report/plots.h"
#include "report/say.h"
#include "report/sheet.h"
#include "report/side_view.h"

#include <stdlib.h>
#include <string.h>

static const char style[] =
    "body{font-family:'DejaVu "
    "Sans',sans-serif;font-size:15px;line-height:1.45;color:#000;background:#fff;"
    "max-width:46em;margin:0 auto;padding:0 1em 2em}"
    "h1{font-size:1.5em;line-height:1.2;margin:1em 0 .3em}"
    "h2{font-size:1.15em;margin:1.6em 0 .4em;border-bottom:2px solid #000}"
    "h3{font-size:1em;margin:.9em 0 0}"
    "p{margin:.4em 0}.line{margin:0}.under{margin:0 0 0 1.6em}.note{font-size:.87em;color:#444}"
    "ul{margin:.4em 0;padding-left:1.2em}li{margin:.15em 0}"
    ".wide{overflow-x:auto;margin:.6em 0}"
    "table{border-collapse:collapse;font-size:.87em;font-variant-numeric:tabular-nums}"
    "th,td{padding:.25em .7em .25em 0;text-align:left;vertical-align:top;border-bottom:1px solid "
    "#bbb}"
    "th{border-bottom:2px solid #000;vertical-align:bottom}"
    "th.number,td.number{text-align:right}"
    "figure{margin:1em 0;overflow-x:auto}figure svg{max-width:100%;height:auto;display:block}"
    "figure.drawing svg{width:100%;max-width:24em}"
    "@media (min-width:40em),print{figure.drawing{float:right;width:45%;margin:0 0 0 1em}"
    ".sheet h2{overflow:hidden}}"
    "@page{size:auto;margin:15mm}"
    "@media "
    "print{body{max-width:none;padding:0;font-size:9pt;line-height:1.3}h1{margin-top:0}h2{margin:"
    "1em 0 .3em}figure,table,li{break-inside:avoid}"
    ".report{break-before:page}h2,h3{break-after:avoid}figure "
    "svg{max-width:125mm}}";

static void head(FILE *stream, const struct report_input *input)
{
    const struct session_record *record = input->record;
    char date[64];
    say_date(date, sizeof date, record->started_ms);
    fputs("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
          "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>",
          stream);
    paper_escape(stream, record->has_rider && record->rider.code[0] != '\0' ? record->rider.code
                                                                            : "Session");
    fprintf(stream, ", %s</title>\n<style>%s</style>\n</head>\n<body>\n", date, style);
}

static void heading(FILE *stream, const char *text)
{
    fputs("<h1>", stream);
    paper_escape(stream, text);
    fputs("</h1>\n", stream);
}

static bool sections(struct paper *paper, report_section *const *list, size_t count,
                     const struct report_input *input, struct problem *problem)
{
    for (size_t i = 0; i < count; i++) {
        if (!list[i](paper, input, problem)) {
            return false;
        }
    }
    paper_end(paper);
    return true;
}
#define SECTIONS(paper, list)                                                                      \
    sections(paper, list, sizeof(list) / sizeof((list)[0]), input, problem)

/* The side view as found and as chosen. Its XML declaration does not belong in a page. */
static bool side_view_figure(FILE *stream, const struct report_input *input,
                             struct problem *problem)
{
    int chosen = sheet_chosen(input);
    struct side_view now, before;
    struct problem missing = {PROBLEM_NONE, ""};
    char *text = NULL;
    size_t length = 0;
    if (chosen < 0) {
        return true;
    }
    const struct bike_values *found = &input->record->setup[0].bike;
    const struct bike_values *final = &input->record->setup[chosen].bike;
    if (!side_view_make(final, final, NULL, 0, &now, &missing) ||
        !side_view_make(found, found, NULL, 0, &before, &missing)) {
        return true; /* parts are missing: there is no picture then */
    }
    FILE *memory = open_memstream(&text, &length);
    if (memory == NULL) {
        return problem_set(problem, "no memory for the side view");
    }
    bool done =
        side_view_svg(memory, &now, &before, "The bike as chosen; dashed: as found", problem);
    done = (fclose(memory) == 0 || problem_set(problem, "no memory for the side view")) && done;
    const char *picture = done ? strstr(text, "<svg") : NULL;
    if (picture != NULL) {
        fprintf(stream, "<figure class=\"drawing\">\n%s</figure>\n", picture);
    }
    free(text);
    return done;
}

/* At most so many channels. */
static void heights_figures(FILE *stream, const struct report_input *input, int most)
{
    for (int channel = 0; channel < input->analysis->channel_count && most > 0; channel++) {
        if (input->analysis->body[channel] && input->record->setup_count > 0) {
            most--;
            fputs("<figure>\n", stream);
            plot_heights(stream, input, channel);
            fputs("</figure>\n", stream);
        }
    }
}

/* A picture that may come out empty has no frame then. */
static void traces_figures(FILE *stream, const struct report_input *input,
                           const struct traces *traces)
{
    fputs("<figure>\n", stream);
    plot_cloud(stream, input, traces, false);
    fputs("</figure>\n", stream);
    for (int channel = 0; channel < input->analysis->channel_count; channel++) {
        if (input->analysis->body[channel]) {
            fputs("<figure>\n", stream);
            plot_holds(stream, input, traces, channel);
            fputs("</figure>\n", stream);
        }
    }
}

/* Two pages at most: one picture of the bike, one of the heights. */
static bool rider_sheet(FILE *stream, const struct report_input *input, struct problem *problem)
{
    static report_section *const top[] = {section_heading};
    static report_section *const above[] = {sheet_bike, sheet_wrench, sheet_evidence};
    static report_section *const last[] = {sheet_practice, section_cautions};
    struct paper paper;
    paper_begin(&paper, stream, PAPER_HTML, 0);
    fputs("<section class=\"sheet\">\n", stream);
    heading(stream, "Your posture session");
    bool done = SECTIONS(&paper, top) && side_view_figure(stream, input, problem) &&
                SECTIONS(&paper, above);
    if (done) {
        heights_figures(stream, input, 1);
        done = SECTIONS(&paper, last);
    }
    fputs("</section>\n", stream);
    return done;
}

static bool fitter_report(FILE *stream, const struct report_input *input,
                          const struct traces *traces, struct problem *problem)
{
    static report_section *const first[] = {section_heading, section_attention, section_heights};
    static report_section *const middle[] = {section_beside, section_certainty, section_left_out};
    static report_section *const last[] = {
        section_setups,   section_ties,    section_targets, section_holds,  section_effort,
        section_readings, section_ratings, section_checks,  section_method, section_cautions,
    };
    struct paper paper;
    paper_begin(&paper, stream, PAPER_HTML, 0);
    fputs("<section class=\"report\">\n", stream);
    heading(stream, "The fitter's report");
    bool done = SECTIONS(&paper, first);
    if (done) {
        heights_figures(stream, input, CHANNELS_MAX);
        done = SECTIONS(&paper, middle);
    }
    if (done) {
        traces_figures(stream, input, traces);
        done = SECTIONS(&paper, last);
    }
    fputs("</section>\n", stream);
    return done;
}

bool report_html(FILE *stream, const struct report_input *input, sample_source *source,
                 void *context, struct problem *problem)
{
    struct traces *traces = traces_make(input, source, context, problem);
    if (traces == NULL) {
        return false;
    }
    head(stream, input);
    bool done =
        rider_sheet(stream, input, problem) && fitter_report(stream, input, traces, problem);
    fputs("</body>\n</html>\n", stream);
    traces_free(traces);
    return done && (!ferror(stream) || problem_set(problem, "the page could not be written"));
}
