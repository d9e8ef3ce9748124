/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_REPORT_PLOTS_H
#define HOLDLINE_REPORT_PLOTS_H

#include "report/traces.h"

/* The pictures of a session as SVG: for a page each by itself, for a file all channels under each
 * other. Each says in its title what is seen, has units at its axes, and can be read without
 * colour. */

/* One channel: mean and 95 % limits of each setup on one scale, with what differs in words; of more
 * setups than most: the one compared against, the chosen one, and the latest others. */
void plot_heights(FILE *stream, const struct report_input *input, int channel, int most);
report_writer report_heights_svg;

enum picture_breadth { PICTURE_BROAD, PICTURE_NARROW }; /* of a page, of a telephone */

/* These channels (one or two), panels side by side: how far each setup that was tested is from the
 * one compared against, with the interval of all differences together, each hold, and the range
 * that does not matter. part -1: of more setups than most the chosen one, one that beats it and the
 * latest; else from 0 on, so many at a time. False, and nothing written, where nothing was tested
 * against another. */
bool plot_differences(FILE *stream, const struct report_input *input, const int *channels,
                      int panels, int most, int part, enum picture_breadth breadth, bool alone);

/* The bike and the rider from the right side, to scale: as found dashed, as chosen in full, with
 * dimensions of what changed only. chosen -1: as found. False, and nothing written, where parts are
 * missing. */
bool plot_posture(FILE *stream, const struct report_input *input, int chosen,
                  enum picture_breadth breadth);

/* The first two body channels against each other: where each setup's free holds lie, with the
 * ellipse that holds 95 % of the time. False, and nothing written, when there are no two channels
 * with something to show. */
bool plot_cloud(FILE *stream, const struct report_input *input, const struct traces *traces,
                bool alone);
report_samples_writer report_cloud_svg;

/* One channel: each hold's course with its target and band, of as many holds as a page takes, the
 * first with this index. Returns the index for the next picture: the count of holds after the last;
 * nothing is written where no hold is left that can be shown. */
int plot_holds(FILE *stream, const struct report_input *input, const struct traces *traces,
               int channel, int from);
report_samples_writer report_holds_svg;

/* What a lower posture costs: height of the first body channel against how well it was kept, and
 * against the worst discomfort; setups that no other beats on everything are filled. False, and
 * nothing written, where fewer than two setups have both. */
bool plot_tradeoff(FILE *stream, const struct report_input *input, bool alone);
report_writer report_tradeoff_svg;

/* One channel's band proposals from the first target that was captured: cues a minute against the
 * limit above, with the band that was set. False, and nothing written, without such a target. */
bool plot_bands(FILE *stream, const struct report_input *input, sample_source *source,
                void *context, int channel, bool alone);
report_samples_writer report_bands_svg;

/* The bike from its right side; chosen: index of the setup that is drawn over the first one, -1 =
 * only the first. Nothing written where parts are missing. */
bool plot_bike(FILE *stream, const struct report_input *input, int chosen, bool alone,
               struct problem *problem);
report_writer report_bike_svg;

/* Bar clamp, pads and extensions of every setup, to scale. False, and nothing written, with fewer
 * than two setups that say where they are. */
bool plot_fronts(FILE *stream, const struct report_input *input, bool alone);
report_writer report_fronts_svg;

/* A day of runs: each setup's runs and mean, with what differs in words. False, and nothing
 * written, without a run that counts. */
bool plot_drag(FILE *stream, const struct report_input *input, bool alone);
report_writer report_drag_svg;
/* Force left unexplained along the course, some runs from this one on under each other. Returns the
 * run for the next picture: the count of runs after the last; nothing is written where no run is
 * left that can be shown. */
int plot_residuals(FILE *stream, const struct report_input *input, int from, bool alone);
/* Drag on the course beside one channel's height on the trainer, a cross a setup. False, and
 * nothing written, where no setup has both. */
bool plot_drag_heights(FILE *stream, const struct report_input *input, int channel, bool alone);

/* A still test: seconds about the mean, and the Allan deviation over the averaging time. False, and
 * nothing written, where this check is none or its samples are not there. */
bool plot_still(FILE *stream, const struct report_input *input, sample_source *source,
                void *context, int check, bool alone);
/* The session's last one. */
report_samples_writer report_still_svg;

#endif
