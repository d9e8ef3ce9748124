/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The text reports: sections in the order a fitter reads them. */
#include "report/sections.h"

#define NARROWEST 40

static bool write_sections(report_section *const *sections, size_t count, FILE *stream,
                           const struct report_input *input, int width, struct problem *problem)
{
    struct paper paper;
    paper_begin(&paper, &paper_text, stream, width < NARROWEST ? NARROWEST : width);
    for (size_t i = 0; i < count; i++) {
        if (!sections[i](&paper, input, problem)) {
            return false;
        }
    }
    paper_end(&paper);
    if (ferror(stream)) {
        return problem_set(problem, "the report could not be written");
    }
    return true;
}

bool report_compare_text(FILE *stream, const struct report_input *input, int width,
                         struct problem *problem)
{
    static report_section *const sections[] = {
        section_heading,    section_attention,    section_heights,
        section_steadiness, section_insight,      section_effort,
        section_certainty,  section_data_quality, section_drag,
    };
    return write_sections(sections, sizeof sections / sizeof sections[0], stream, input, width,
                          problem);
}

bool report_drag_text(FILE *stream, const struct report_input *input, int width,
                      struct problem *problem)
{
    static report_section *const sections[] = {section_drag, section_runs};
    return write_sections(sections, sizeof sections / sizeof sections[0], stream, input, width,
                          problem);
}

bool report_session_text(FILE *stream, const struct report_input *input, int width,
                         struct problem *problem)
{
    static report_section *const sections[] = {
        section_heading,  section_attention, section_heights,   section_steadiness,
        section_insight,  section_together,  section_certainty, section_data_quality,
        section_setups,   section_ties,      section_targets,   section_holds,
        section_rides,    section_effort,    section_readings,  section_ratings,
        section_checks,   section_drag,      section_runs,      section_method,
        section_cautions,
    };
    return write_sections(sections, sizeof sections / sizeof sections[0], stream, input, width,
                          problem);
}
