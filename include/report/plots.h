#ifndef HOLDLINE_REPORT_PLOTS_H
#define HOLDLINE_REPORT_PLOTS_H

#include "report/traces.h"

/* The pictures of a session as SVG: for a page each by itself, for a file all channels under each
 * other. Each says in its title what is seen, has units at its axes, and can be read without
 * colour. */

/* One channel: mean and 95 % limits of each setup on one scale, with what differs in words. */
void plot_heights(FILE *stream, const struct report_input *input, int channel);
bool report_heights_svg(FILE *stream, const struct report_input *input, struct problem *problem);

/* The first two body channels against each other: where each setup's free holds lie, with the
 * ellipse that holds 95 % of the time. False, and nothing written, when there are no two channels
 * with something to show. */
bool plot_cloud(FILE *stream, const struct report_input *input, const struct traces *traces,
                bool alone);
bool report_cloud_svg(FILE *stream, const struct report_input *input, sample_source *source,
                      void *context, struct problem *problem);

/* One channel: each hold's course with its target and band. */
void plot_holds(FILE *stream, const struct report_input *input, const struct traces *traces,
                int channel);
bool report_holds_svg(FILE *stream, const struct report_input *input, sample_source *source,
                      void *context, struct problem *problem);

#endif
