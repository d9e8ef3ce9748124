/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* One HTML file with everything in it: the rider's sheet, then the fitter's report. No script,
 * nothing from outside; readable on a phone, and it prints. */
#include "report/document.h"
#include "report/paper_files.h"

#include "base/language.h"

#include "say/say.h"

static const char style[] =
    "body{font-family:'DejaVu "
    "Sans',sans-serif;font-size:15px;line-height:1.45;color:#000;background:#fff;"
    "max-width:46em;margin:0 auto;padding:0 1em 2em}"
    "h1{font-size:1.5em;line-height:1.2;margin:1em 0 .3em}"
    "h2{font-size:1.15em;margin:1.6em 0 .4em;border-bottom:2px solid #000}"
    "h3{font-size:1em;margin:.9em 0 0}"
    ".decision{font-size:1.9em;line-height:1.2;font-weight:bold;margin:.5em 0 .3em}"
    ".lead{font-size:1.3em;line-height:1.35;margin:.2em 0}"
    "table.broad{width:100%}figure.narrow{display:none}"
    "p{margin:.4em 0}.line{margin:0}.under{margin:0 0 0 1.6em}.note{font-size:.87em;color:#444}"
    "ul{margin:.4em 0;padding-left:1.2em}li{margin:.15em 0}"
    ".wide{overflow-x:auto;margin:.6em 0}"
    "table{border-collapse:collapse;font-size:.87em;font-variant-numeric:tabular-nums}"
    "th,td{padding:.25em .7em .25em 0;text-align:left;vertical-align:top;border-bottom:1px solid "
    "#bbb}"
    "th{border-bottom:2px solid #000;vertical-align:bottom}"
    "th.number,td.number{text-align:right}"
    "td.number{white-space:nowrap}td.words{min-width:7em}"
    "figure{margin:1em 0;overflow-x:auto}figure svg{max-width:100%;height:auto;display:block}"
    /* letters of 10.5 are 12 dots high on a picture 830 wide */
    "@media (max-width:40em){figure svg{max-width:none;min-width:830px}"
    "table.broad{font-size:.8em}table.broad td,table.broad th{padding-right:.45em;hyphens:auto}"
    "table.broad td.words{min-width:6em}figure.narrow{display:block}figure.narrow "
    "svg{width:100%;min-width:0}"
    ".sheet figure:has(+figure.narrow){display:none}}"
    "@page{size:auto;margin:15mm}"
    /* as the PDF: its sizes, its tables over several pages, narrow long ones in two halves */
    "@media print{body{max-width:none;padding:0;font-size:8.2pt;line-height:1.18}"
    ".sheet{font-size:8.8pt}h1{margin:0 0 .2em}h2{margin:.8em 0 .25em}p,ul{margin:.25em 0}"
    ".decision{margin:.3em 0 .2em}.lead{line-height:1.25}.note{margin:.2em 0}"
    "li{margin:.08em 0}.wide{margin:.3em 0;overflow:visible}"
    "figure{margin:.2em 0;overflow:visible}.sheet figure.large "
    "svg{max-height:105mm}th,td{padding:.08em "
    ".7em .08em 0}"
    "figure,table,tr,li{break-inside:avoid}.long table{break-inside:auto}"
    ".halves{columns:2;column-gap:3em}"
    ".report{break-before:page}h2,h3{break-after:avoid}"
    ".sheet figure{display:block}.sheet figure.narrow{display:none}}";

static const char foot[] = "</main>\n</body>\n</html>\n";

static void head(FILE *stream, const char *title)
{
    fprintf(stream,
            "<!DOCTYPE html>\n<html lang=\"%s\">\n<head>\n<meta charset=\"utf-8\">\n"
            "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>",
            language_now()->code);
    paper_escape(stream, title);
    fprintf(stream, "</title>\n<style>%s</style>\n</head>\n<body>\n<main>\n", style);
}

bool report_html(FILE *stream, const struct report_input *input, sample_source *source,
                 void *context, struct problem *problem)
{
    struct traces *traces = traces_make(input, source, context, problem);
    struct document document = {input, traces, source, context, NULL};
    struct paper paper;
    if (traces == NULL) {
        return false;
    }
    char title[SAY_SIZE];
    /* the report is English, and with it the document that has both */
    const struct language *before =
        language_enter(input->sheet_only ? input->language : &language_english);
    document_title(input, title, sizeof title);
    head(stream, title);
    language_enter(before);
    paper_begin(&paper, &paper_html, stream, 0);
    bool done =
        document_sheet(&paper, &document, problem) && document_report(&paper, &document, problem);
    fputs(foot, stream);
    traces_free(traces);
    return done && (!ferror(stream) || problem_set(problem, "the page could not be written"));
}

bool paper_file_html(FILE *stream, const struct paper_file *file, struct problem *problem)
{
    struct paper paper;
    head(stream, file->title);
    paper_begin(&paper, &paper_html, stream, 0);
    bool done = file->write(&paper, file->what, problem);
    fputs(foot, stream);
    return done && (!ferror(stream) || problem_set(problem, "the page could not be written"));
}
