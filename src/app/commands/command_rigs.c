/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/boards.h"
#include "app/commands.h"
#include "app/decoder_arguments.h"
#include "app/options.h"
#include "app/port_scan.h"
#include "app/wire_report.h"
#include "base/json.h"
#include "base/text.h"
#include "rig/serial_ports.h"

#include <float.h>
#include <getopt.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* holdline rigs: the ports, and what is heard on each. */

#define ENOUGH_S 1.0

struct found {
    struct serial_port *ports; /* count entries; named ones have no more than a device */
    struct scanned_port *scanned;
    int count;
};

static void release(struct found *found)
{
    for (int i = 0; found->scanned != NULL && i < found->count; i++) {
        port_scan_close(&found->scanned[i]);
    }
    free(found->ports);
    free(found->scanned);
}

/* The ports there are, or those named. */
static bool gather(struct found *found, int named, char **names, const struct decoder_options *said,
                   struct problem *problem)
{
    size_t room = (size_t)(named > 0 ? named : SERIAL_PORTS_MAX);
    found->ports = calloc(room, sizeof *found->ports);
    found->scanned = calloc(room, sizeof *found->scanned);
    if (found->ports == NULL || found->scanned == NULL) {
        return problem_set(problem, "no memory for the ports");
    }
    if (named == 0) {
        found->count = serial_ports_list(found->ports, SERIAL_PORTS_MAX, problem);
        if (found->count < 0) {
            found->count = 0;
            return false;
        }
    } else {
        found->count = named;
        for (int i = 0; i < named; i++) {
            text_copy(found->ports[i].device, sizeof found->ports[i].device, names[i]);
        }
    }
    for (int i = 0; i < found->count; i++) {
        text_copy(found->scanned[i].spec, sizeof found->scanned[i].spec, found->ports[i].device);
        found->scanned[i].options = *said;
        if (!found->ports[i].is_console) {
            port_scan_open(&found->scanned[i]);
        }
    }
    return true;
}

static const char *state_words(const struct serial_port *port, const struct scanned_port *scanned)
{
    if (port->is_console) {
        return "the system's console, not listened to";
    }
    if (scanned->problem.kind != PROBLEM_NONE) {
        return scanned->problem.sentence;
    }
    if (port_scan_is_rig(scanned)) {
        return "a rig";
    }
    return decoder_counts(scanned->decoder)->bytes == 0 ? "silent" : "no readings that make sense";
}

static void print_rig(const struct scanned_port *scanned)
{
    const struct rig_info *info = decoder_info(scanned->decoder);
    char rate[40];
    char announced[40];
    text_from_double(rate, sizeof rate, port_scan_rate_hz(scanned), 1);
    text_print(stdout, "    a rig%s%s: ", info->id[0] != '\0' ? " " : "", info->id);
    for (int i = 0; i < info->channel_count; i++) {
        text_print(stdout, "%s%s", i > 0 ? ", " : "", info->channel_name[i]);
    }
    printf("; %s a second", rate);
    if (info->rate_hz > 0) {
        text_from_double_shortest(announced, sizeof announced, info->rate_hz);
        printf(" (announced: %s)", announced);
    }
    printf("; %s lines", info->dialect);
    if (scanned->link != NULL && scanned->link->baud > 0 && scanned->link->speed_is_open) {
        text_from_double_shortest(announced, sizeof announced, scanned->link->baud);
        printf("; %s baud", announced);
    }
    puts(scanned->is_known ? "; known" : "");
    wire_report_notes(stdout, "    ", info);
}

/* Something is heard that is no rig: what it is, and how it might be read. */
static bool is_to_be_looked_at(const struct scanned_port *scanned)
{
    return scanned->decoder != NULL && !port_scan_is_rig(scanned) &&
           scanned->length + scanned->search.sample_length > 0;
}

static struct wire_report report_of(const struct scanned_port *scanned,
                                    struct wire_finding *finding)
{
    size_t length;
    const char *bytes = port_scan_bytes(scanned, &length);
    port_scan_look(scanned, finding);
    return (struct wire_report){.spec = scanned->spec,
                                .command = "rigs",
                                .baud = scanned->link != NULL ? scanned->link->baud : 0,
                                .tried_speeds = scanned->search.none_fits,
                                .may_be_kept = true,
                                .bytes = bytes,
                                .length = length,
                                .finding = finding};
}

static void print_text(const struct found *found)
{
    if (found->count == 0) {
        puts("no serial port is there; plug the sensors in, or try 'holdline virtual:winter'");
    }
    for (int i = 0; i < found->count; i++) {
        const struct serial_port *port = &found->ports[i];
        text_write(stdout, port->device);
        if (port->description[0] != '\0') {
            text_print(stdout, "  %s", port->description);
        }
        if (port->is_usb) {
            text_print(
                stdout, "  USB %04x:%04x%s%s", (unsigned)port->vendor, (unsigned)port->product,
                port->serial_number[0] != '\0' ? ", serial number " : "", port->serial_number);
        }
        fputc('\n', stdout);
        if (port_scan_is_rig(&found->scanned[i])) {
            print_rig(&found->scanned[i]);
        } else if (is_to_be_looked_at(&found->scanned[i])) {
            struct wire_finding finding;
            struct wire_report report = report_of(&found->scanned[i], &finding);
            wire_report_print(stdout, "    ", &report);
        } else {
            text_print(stdout, "    %s\n", state_words(port, &found->scanned[i]));
        }
    }
}

static void json_usb(struct json_writer *json, const struct serial_port *port)
{
    if (json_object_member_if(json, "usb", port->is_usb)) {
        json_member_integer(json, "vendor", port->vendor);
        json_member_integer(json, "product", port->product);
        json_member_string(json, "serial_number", port->serial_number);
        json_object_end(json);
    }
}

static void json_rig(struct json_writer *json, const struct scanned_port *scanned)
{
    if (!json_object_member_if(json, "rig", port_scan_is_rig(scanned))) {
        return;
    }
    const struct rig_info *info = decoder_info(scanned->decoder);
    json_member_string(json, "id", info->id);
    json_member_string(json, "dialect", info->dialect);
    json_member_number(json, "rate_hz", port_scan_rate_hz(scanned));
    json_member_if(json, "announced_rate_hz", info->rate_hz > 0, info->rate_hz);
    json_array_member(json, "channels");
    for (int c = 0; c < info->channel_count; c++) {
        json_string(json, info->channel_name[c]);
    }
    json_array_end(json);
    json_object_end(json);
}

static void json_unread(struct json_writer *json, const struct scanned_port *scanned)
{
    if (json_object_member_if(json, "unread", is_to_be_looked_at(scanned))) {
        struct wire_finding finding;
        struct wire_report report = report_of(scanned, &finding);
        wire_report_json(json, &report);
        json_object_end(json);
    }
}

static void print_json(const struct found *found)
{
    struct json_writer json;
    json_document_begin(&json, stdout, true, "holdline-rigs", 1);
    json_array_member(&json, "ports");
    for (int i = 0; i < found->count; i++) {
        const struct serial_port *port = &found->ports[i];
        const struct scanned_port *scanned = &found->scanned[i];
        bool has_baud = scanned->link != NULL && scanned->link->baud > 0;
        json_object_begin(&json);
        json_member_string(&json, "port", port->device);
        json_member_string(&json, "description", port->description);
        json_usb(&json, port);
        json_member_string(&json, "state", state_words(port, scanned));
        json_member_if(&json, "baud", has_baud, has_baud ? scanned->link->baud : 0);
        json_member_boolean(&json, "known", scanned->is_known);
        json_rig(&json, scanned);
        json_unread(&json, scanned);
        json_object_end(&json);
    }
    json_array_end(&json);
    json_object_end(&json);
}

struct wanted {
    struct decoder_options decoder;
    double seconds;
    bool json, keep, forget;
};

static const struct option_row option_rows[] = {
    {"seconds", OPTION_NUMBER, OPTION_INTO(wanted, seconds), DBL_MIN, 3600, "a number above 0"},
    {"json", OPTION_YES, OPTION_INTO(wanted, json)},
    {"keep", OPTION_YES, OPTION_INTO(wanted, keep)},
    {"forget", OPTION_YES, OPTION_INTO(wanted, forget)},
};

/* Each rig that is heard is kept as it is read now: it is known at once next time. */
static bool keep_all(const struct found *found, struct problem *problem)
{
    bool kept = false;
    for (int i = 0; i < found->count; i++) {
        if (port_scan_is_rig(&found->scanned[i])) {
            if (!port_scan_keep(&found->scanned[i], problem)) {
                return false;
            }
            kept = true;
        }
    }
    return kept || problem_set(problem, "nothing is kept: no rig is heard that is read so");
}

static bool forget_all(int named, char **names, struct problem *problem)
{
    if (named == 0) {
        return problem_usage(problem, "rigs: --forget needs the name of a rig");
    }
    for (int i = 0; i < named; i++) {
        if (!boards_forget(names[i], problem)) {
            return false;
        }
    }
    return true;
}

static int run(int argc, char **argv)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct found found = {.count = 0};
    struct wanted wanted = {.seconds = 5};
    const struct option_set sets[] = {
        OPTION_SET(option_rows, &wanted), DECODER_OPTION_SET(&wanted.decoder), {NULL, 0, NULL}};
    if (!options_read(sets, argc, argv, &problem)) {
        return command_fail(&problem);
    }
    if (wanted.forget && wanted.keep) {
        problem_usage(&problem, "rigs: --keep or --forget, not both");
        return command_fail(&problem);
    }
    if (wanted.forget) {
        return forget_all(argc - optind, argv + optind, &problem) ? EXIT_SUCCESS
                                                                  : command_fail(&problem);
    }
    if (!gather(&found, argc - optind, argv + optind, &wanted.decoder, &problem)) {
        release(&found);
        return command_fail(&problem);
    }
    port_scan_listen(found.scanned, found.count, wanted.seconds, ENOUGH_S, NULL);
    if (wanted.json) {
        print_json(&found);
    } else {
        print_text(&found);
    }
    bool done = !wanted.keep || keep_all(&found, &problem);
    release(&found);
    return done ? EXIT_SUCCESS : command_fail(&problem);
}

const struct command command_rigs = {
    .name = "rigs",
    .summary = "the ports, and what is heard on each",
    .usage =
        "holdline rigs [RIG ...] [options]\n"
        "Lists the computer's serial ports, or those named, and listens to each at once for\n"
        "sensors that make sense. Opening a port makes many boards start anew.\n"
        "What is no rig is looked at: speeds are tried in turn, and how it might be read is said.\n"
        "  --seconds N          listens for at most N seconds (5)\n"
        "  --keep               keeps speed and options of what is heard: next time it is known\n"
        "  --forget             forgets what was kept of the rigs named, and listens to none\n"
        "  --json               as JSON\n"
        "\n" DECODER_USAGE,
    .run = run,
};
