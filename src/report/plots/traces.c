/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/traces.h"

#include "report/digest.h"

#include <math.h>
#include <stdlib.h>

/* Sums of a second, and how many readings there were. */
struct bins {
    double *sum;
    int *good, *all;
};

static bool bins_make(struct bins *bins, int seconds)
{
    size_t count = (size_t)seconds;
    bins->sum = calloc(count, sizeof *bins->sum);
    bins->good = calloc(count, sizeof *bins->good);
    bins->all = calloc(count, sizeof *bins->all);
    return bins->sum != NULL && bins->good != NULL && bins->all != NULL;
}

static void bins_free(struct bins *bins)
{
    free(bins->sum);
    free(bins->good);
    free(bins->all);
}

static bool trace_channel(const struct report_input *input, int build, int channel,
                          const struct sample *samples, size_t count, struct trace *trace)
{
    struct bins bins;
    bool done = bins_make(&bins, trace->seconds);
    trace->mm[channel] = malloc((size_t)trace->seconds * sizeof *trace->mm[channel]);
    done = done && trace->mm[channel] != NULL;
    for (size_t i = 0; done && i < count; i++) {
        int64_t second = (samples[i].time_us - samples[0].time_us) / 1000000;
        if (second < 0 || second >= trace->seconds) {
            continue;
        }
        bins.all[second]++;
        if (samples[i].quality[channel] == READING_GOOD) {
            bins.good[second]++;
            bins.sum[second] += analysis_height_mm(input->record, input->analysis, build, channel,
                                                   samples[i].range_tenth_mm[channel]);
        }
    }
    for (int second = 0; done && second < trace->seconds; second++) {
        bool enough = bins.good[second] > 0 && 2 * bins.good[second] >= bins.all[second];
        trace->mm[channel][second] = enough ? bins.sum[second] / bins.good[second] : (double)NAN;
    }
    bins_free(&bins);
    return done;
}

static bool trace_hold(const struct report_input *input, int index, sample_source *source,
                       void *context, struct trace *trace, struct problem *problem)
{
    const struct hold_record *hold = &input->record->hold[index];
    const struct capture_record *capture = &input->record->capture[hold->capture];
    const struct placing_record *placing = digest_placing(input, hold->build);
    const struct sample *samples = NULL;
    size_t count = 0;
    if (hold->status == HOLD_RUNNING || capture->last_sample < capture->first_sample ||
        placing == NULL) {
        return true;
    }
    if (!source(context, capture->first_sample, capture->last_sample, &samples, &count)) {
        return problem_set(problem, "the samples of hold %d are not there", hold->number);
    }
    if (count == 0) {
        return true;
    }
    trace->seconds = (int)((samples[count - 1].time_us - samples[0].time_us) / 1000000) + 1;
    for (int channel = 0; channel < placing->channel_count; channel++) {
        if (placing->channel[channel].role == ROLE_BODY &&
            !trace_channel(input, hold->build, channel, samples, count, trace)) {
            return problem_set(problem, "no memory for the pictures of the holds");
        }
    }
    return true;
}

struct traces *traces_make(const struct report_input *input, sample_source *source, void *context,
                           struct problem *problem)
{
    struct traces *traces = calloc(1, sizeof *traces);
    if (traces == NULL) {
        problem_set(problem, "no memory for the pictures of the holds");
        return NULL;
    }
    traces->hold_count = input->record->hold_count;
    for (int hold = 0; hold < traces->hold_count; hold++) {
        if (!trace_hold(input, hold, source, context, &traces->hold[hold], problem)) {
            traces_free(traces);
            return NULL;
        }
    }
    return traces;
}

void traces_free(struct traces *traces)
{
    if (traces == NULL) {
        return;
    }
    for (int hold = 0; hold < traces->hold_count; hold++) {
        for (int channel = 0; channel < CHANNELS_MAX; channel++) {
            free(traces->hold[hold].mm[channel]);
        }
    }
    free(traces);
}
