/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/commands.h"
#include "app/decoder_arguments.h"
#include "app/ending.h"
#include "app/links.h"
#include "app/listen_report.h"
#include "app/wire_report.h"
#include "base/clock.h"
#include "base/text.h"
#include "base/words.h"
#include "rig/reader.h"
#include "say/rig.h"
#include "say/wire.h"

#include <float.h>
#include <getopt.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

/* holdline listen RIG: the samples as they are decoded, a line each, and the health at the end. */

#define TURN_MS 100

struct listening {
    struct decoder_options decoder;
    const char *rig;
    double seconds_most; /* 0 = until it ends */
    double rate_hz;
    bool json, only_health;
    struct reader *reader;
    bool flush_each;
    bool has_heading;
    uint64_t samples;
    int64_t last_us;
    int64_t heard_us; /* by the computer's clock, when bytes came last, or it began */
    bool enough;
};

static void on_sample(void *context, const struct sample *sample)
{
    struct listening *listening = context;
    const struct rig_info *info = reader_info(listening->reader);
    if (listening->enough) {
        return;
    }
    listening->enough =
        listening->seconds_most > 0 && (double)sample->time_us >= listening->seconds_most * 1e6;
    listening->samples++;
    listening->last_us = sample->time_us;
    if (listening->only_health) {
        return;
    }
    if (listening->json) {
        listen_json_sample(stdout, info, sample);
        return;
    }
    if (!listening->has_heading) {
        listen_print_heading(stdout, info);
        listening->has_heading = true;
    }
    listen_print_sample(stdout, info, sample);
}

static void print_report(struct listening *listening)
{
    const struct link *link = reader_link(listening->reader);
    const struct rig_info *info = reader_info(listening->reader);
    const struct listened listened = {
        .name = link->name,
        .info = info,
        .counts = reader_counts(listening->reader),
        .health = reader_health(listening->reader),
        .seconds = (double)listening->last_us / 1e6,
        .assumed_rate_hz = link->rate_is_assumed && !info->has_rig_time ? link->stated_rate_hz : 0,
    };
    if (listening->json) {
        listen_json_report(stdout, &listened);
    } else {
        listen_print_report(stdout, &listened);
    }
}

/* No readings came: what came instead, by reason and count, and how it might be read. */
static void tell_why(struct listening *listening, struct problem *problem)
{
    struct wire_finding finding;
    char counts[400];
    size_t length;
    const char *bytes = reader_unread(listening->reader, &length);
    struct link *link = reader_link(listening->reader);
    wire_look(bytes, length, &listening->decoder, &finding);
    const struct wire_report report = {.spec = listening->rig,
                                       .command = link->speed_is_open ? "rigs" : "listen",
                                       .baud = link->baud,
                                       .tried_speeds = reader_tried_speeds(listening->reader),
                                       .may_be_kept = link->speed_is_open,
                                       .bytes = bytes,
                                       .length = length,
                                       .finding = &finding};
    if (length > 0) {
        wire_report_print(stderr, "holdline: ", &report);
    }
    if (problem->kind == PROBLEM_NONE && reader_counts(listening->reader)->bytes == 0) {
        say_rig_unheard(counts, sizeof counts, listening->rig, reader_counts(listening->reader));
        problem_set(problem, "%s", counts);
    } else if (problem->kind == PROBLEM_NONE) {
        say_wire_counts(counts, sizeof counts, reader_counts(listening->reader));
        problem_set(problem, "no readings came from '%s' (%s)", listening->rig, counts);
    }
}

/* One read and what follows from it. False when it is over. */
static bool listen_step(struct listening *listening, bool *down, struct problem *problem)
{
    enum link_result result =
        reader_step(listening->reader, TURN_MS, on_sample, listening, problem);
    links_tell(result, down);
    if (result == LINK_BYTES) {
        listening->heard_us = clock_monotonic_us();
    }
    if (listening->flush_each && result == LINK_BYTES) {
        fflush(stdout);
    }
    return result != LINK_END && result != LINK_FAILED && !ferror(stdout);
}

/* Until the stream ends, the time is up, or Ctrl-C comes. */
static void listen_all(struct listening *listening, struct problem *problem)
{
    struct link *link = reader_link(listening->reader);
    int64_t start_us = clock_monotonic_us();
    bool down = false;
    listening->heard_us = start_us;
    link->wake_fd = ending_descriptor();
    listening->flush_each = !link->can_wait || isatty(STDOUT_FILENO);
    while (!listening->enough) {
        if (!listen_step(listening, &down, problem) || ending_asked()) {
            break;
        }
        /* a stream that waits goes by its own time, but for a pipe into which nobody writes */
        int64_t from_us = link->can_wait ? listening->heard_us : start_us;
        double elapsed_s = (double)(clock_monotonic_us() - from_us) / 1e6;
        if (listening->seconds_most > 0 && elapsed_s >= listening->seconds_most) {
            break;
        }
    }
}

static bool open_reader(struct listening *listening, struct problem *problem)
{
    struct link *link = links_open(listening->rig, &listening->decoder, problem);
    if (link == NULL) {
        return false;
    }
    if (listening->rate_hz > 0) {
        link->stated_rate_hz = listening->rate_hz;
        link->rate_is_assumed = false;
    }
    listening->reader = reader_create(link, &listening->decoder, 1, problem);
    return listening->reader != NULL;
}

static int listen_to(struct listening *listening)
{
    struct problem problem = {PROBLEM_NONE, ""};
    int status = EXIT_SUCCESS;
    ending_begin();
    if (!open_reader(listening, &problem)) {
        return command_fail(&problem);
    }
    listen_all(listening, &problem);
    ending_end(); /* a second Ctrl-C ends it at once */
    if (ferror(stdout)) {
        goto done; /* main tells it, or not when nobody reads any more */
    }
    if (listening->samples > 0) {
        print_report(listening);
        links_learn(listening->rig, reader_link(listening->reader), &listening->decoder);
    } else {
        tell_why(listening, &problem);
    }
    if (problem.kind != PROBLEM_NONE) {
        status = command_fail(&problem);
    }
done:
    reader_destroy(listening->reader);
    return status;
}

#define RATE_OR_TIME(member) OPTION_NUMBER, OPTION_INTO(listening, member), DBL_MIN, 1e7, above_0
static const char above_0[] = "a number above 0";
static const struct option_row option_rows[] = {
    {"seconds", RATE_OR_TIME(seconds_most)},
    {"json", OPTION_YES, OPTION_INTO(listening, json)},
    {"health", OPTION_YES, OPTION_INTO(listening, only_health)},
    {"rate", RATE_OR_TIME(rate_hz)},
};

static int run(int argc, char **argv)
{
    struct listening listening = {.rig = NULL};
    struct problem problem = {PROBLEM_NONE, ""};
    const struct option_set sets[] = {OPTION_SET(option_rows, &listening),
                                      DECODER_OPTION_SET(&listening.decoder),
                                      {NULL, 0, NULL}};
    if (!options_read(sets, argc, argv, &problem)) {
        return command_fail(&problem);
    }
    if (argc - optind != 1) {
        problem_usage(&problem, "listen: say one rig, as 'holdline listen /dev/ttyACM0'");
        return command_fail(&problem);
    }
    listening.rig = argv[optind];
    return listen_to(&listening);
}

const struct command command_listen = {
    .name = "listen",
    .summary = "the samples as they are decoded, and the sensors' health at the end",
    .usage = "holdline listen RIG [options]\n"
             "Prints a line a sample: seconds, the range of each channel in mm ('-' none; w weak\n"
             "return, s saturated, r out of range); at the end, or at Ctrl-C, how the rig did.\n"
             "  --seconds N          ends after N seconds\n"
             "  --json               an object a line\n"
             "  --health             only the report at the end\n"
             "  --rate HZ            of a stream that carries no time of its own\n"
             "\n" DECODER_USAGE "\n" LINKS_USAGE,
    .run = run,
};
