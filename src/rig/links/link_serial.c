/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/text.h"
#include "rig/device.h"
#include "rig/link.h"
#include "rig/link_parameters.h"
#include "rig/port.h"
#include "rig/serial_ports.h"

#include <errno.h>
#include <fcntl.h>
#include <libserialport.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* A serial port through libserialport: the one file that knows it. Waiting is done on the port's
 * descriptor, since the library's own waiting does not notice a pulled cable (0.1.1: its blocking
 * reads spin, its non-blocking ones look like 'no data'). */

struct serial_settings {
    double baud, bits, stop_bits;
    enum sp_parity parity;
    enum sp_flowcontrol flow;
};

struct serial_link {
    struct port port;
    struct sp_port *serial;
    struct serial_settings settings;
    struct serial_port identity; /* of the device that was opened first */
    bool has_identity;
    char path[PATH_MAX]; /* as the person wrote it */
};

static void copy_text(char *destination, size_t size, const char *source)
{
    text_clean(destination, size, source == NULL ? "" : source);
}

/* The kernel lists its consoles in one line: 'tty0 ttyS0'. */
static bool is_console(const char *device)
{
    FILE *file = fopen("/sys/class/tty/console/active", "r");
    char name[64];
    bool found = false;
    while (file != NULL && !found && fscanf(file, "%63s", name) == 1) {
        found = text_starts_with(device, "/dev/") && text_equal(device + 5, name);
    }
    if (file != NULL) {
        fclose(file);
    }
    return found;
}

static void describe(const struct sp_port *port, struct serial_port *described)
{
    *described = (struct serial_port){.is_usb = false};
    text_copy(described->device, sizeof described->device, sp_get_port_name(port));
    copy_text(described->description, sizeof described->description, sp_get_port_description(port));
    described->is_console = is_console(described->device);
    if (sp_get_port_transport(port) == SP_TRANSPORT_USB &&
        sp_get_port_usb_vid_pid(port, &described->vendor, &described->product) == SP_OK) {
        described->is_usb = true;
        copy_text(described->serial_number, sizeof described->serial_number,
                  sp_get_port_usb_serial(port));
    }
}

int serial_ports_list(struct serial_port *ports, int most, struct problem *problem)
{
    struct sp_port **list = NULL;
    if (sp_list_ports(&list) != SP_OK) {
        problem_set(problem, "the serial ports cannot be listed: is /sys mounted?");
        return -1;
    }
    int count = 0;
    for (; count < most && list[count] != NULL; count++) {
        describe(list[count], &ports[count]);
    }
    sp_free_port_list(list);
    return count;
}

/* The device to open now: the path with its links followed, or where the same USB device turned up.
 */
static bool device_now(const struct serial_link *link, char device[PATH_MAX])
{
    struct serial_port found = {.is_usb = false};
    struct sp_port *port = NULL;
    bool there = realpath(link->path, device) != NULL;
    if (!link->has_identity || !link->identity.is_usb) {
        return there;
    }
    if (there && sp_get_port_by_name(device, &port) == SP_OK) {
        describe(port, &found);
        sp_free_port(port);
        if (serial_ports_find(&found, 1, &link->identity) == 0) {
            return true;
        }
    }
    struct serial_port *ports = calloc(SERIAL_PORTS_MAX, sizeof *ports);
    int count = ports == NULL ? -1 : serial_ports_list(ports, SERIAL_PORTS_MAX, NULL);
    int at = count < 0 ? -1 : serial_ports_find(ports, count, &link->identity);
    if (at >= 0) {
        text_copy(device, PATH_MAX, ports[at].device);
    }
    free(ports);
    return at >= 0;
}

static bool apply(struct sp_port *port, const struct serial_settings *settings)
{
    struct sp_port_config *config = NULL;
    bool done = sp_new_config(&config) == SP_OK &&
                sp_set_config_baudrate(config, (int)settings->baud) == SP_OK &&
                sp_set_config_bits(config, (int)settings->bits) == SP_OK &&
                sp_set_config_parity(config, settings->parity) == SP_OK &&
                sp_set_config_stopbits(config, (int)settings->stop_bits) == SP_OK &&
                sp_set_config_flowcontrol(config, settings->flow) == SP_OK &&
                sp_set_config(port, config) == SP_OK;
    int baud = 0;
    done = done && sp_get_config(port, config) == SP_OK &&
           sp_get_config_baudrate(config, &baud) == SP_OK &&
           fabs(baud - settings->baud) <= 0.03 * settings->baud; /* more, and bytes are rubbish */
    sp_free_config(config);
    return done;
}

static bool serial_open(struct port *port, struct problem *problem)
{
    struct serial_link *link = (struct serial_link *)port;
    char device[PATH_MAX];
    bool taken = false;
    if (!device_now(link, device)) {
        return device_open_problem(link->path, ENOENT, problem);
    }
    if (sp_get_port_by_name(device, &link->serial) != SP_OK) {
        link->serial = NULL;
        return problem_set(problem,
                           "'%s' is no serial port that the system lists; 'tty:%s' opens any "
                           "terminal device",
                           link->path, link->path);
    }
    if (sp_open(link->serial, SP_MODE_READ_WRITE) != SP_OK) {
        device_open_problem(link->path, sp_last_error_code(), problem);
        sp_free_port(link->serial);
        link->serial = NULL;
        return false;
    }
    int descriptor = -1;
    if (sp_get_port_handle(link->serial, &descriptor) != SP_OK) {
        problem_set(problem, "'%s' cannot be waited for", link->path);
        goto failed;
    }
    fcntl(descriptor, F_SETFD, FD_CLOEXEC);
    taken = device_take(descriptor, link->path, problem);
    if (!taken) {
        goto failed;
    }
    if (!apply(link->serial, &link->settings)) {
        problem_set(problem, "'%s' does not take these settings (baud=%.0f)", link->path,
                    link->settings.baud);
        goto failed;
    }
    sp_flush(link->serial, SP_BUF_INPUT); /* bytes of before, maybe at another speed */
    if (!link->has_identity) {
        describe(link->serial, &link->identity);
        link->has_identity = true;
    }
    port->descriptor = descriptor;
    return true;
failed:
    if (taken) {
        device_give_back(descriptor);
    }
    sp_close(link->serial);
    sp_free_port(link->serial);
    link->serial = NULL;
    return false;
}

static bool serial_set_speed(struct port *port, double baud)
{
    struct serial_link *link = (struct serial_link *)port;
    struct serial_settings settings = link->settings;
    bool stale = settings.baud != baud; /* bytes that came at another speed are let go */
    settings.baud = baud;
    if (!apply(link->serial, &settings)) {
        apply(link->serial, &link->settings);
        return false;
    }
    link->settings = settings;
    if (stale) {
        sp_flush(link->serial, SP_BUF_INPUT);
    }
    return true;
}

static ssize_t serial_read(struct port *port, char *bytes, size_t size)
{
    struct serial_link *link = (struct serial_link *)port;
    enum sp_return count = sp_nonblocking_read(link->serial, bytes, size);
    if (count >= 0) {
        return (ssize_t)count;
    }
    errno = EIO;
    return -1;
}

static void serial_close(struct port *port)
{
    struct serial_link *link = (struct serial_link *)port;
    device_give_back(port->descriptor);
    sp_close(link->serial);
    sp_free_port(link->serial);
    link->serial = NULL;
}

static void serial_release(struct port *port)
{
    free(port);
}

/* Index of a word of those known, or -1 with a sentence. */
static int read_choice(const char *parameters, const char *name, const char *const *words,
                       int count, struct problem *problem)
{
    char text[32];
    if (!link_parameter(parameters, name, text, sizeof text)) {
        return 0;
    }
    char list[80] = "";
    size_t used = 0;
    for (int i = 0; i < count; i++) {
        if (text_equal(text, words[i])) {
            return i;
        }
        text_append(list, sizeof list, &used, "%s%s", i > 0 ? ", " : "", words[i]);
    }
    problem_usage(problem, "%s=%s: wanted is one of %s", name, text, list);
    return -1;
}

static bool read_settings(const char *parameters, struct serial_settings *settings,
                          struct problem *problem)
{
    static const char *const known[] = {"baud", "bits", "parity", "stop", "flow"};
    static const char *const parities[] = {"none", "even", "odd"};
    static const enum sp_parity parity_of[] = {SP_PARITY_NONE, SP_PARITY_EVEN, SP_PARITY_ODD};
    static const char *const flows[] = {"none", "rtscts", "xonxoff"};
    static const enum sp_flowcontrol flow_of[] = {SP_FLOWCONTROL_NONE, SP_FLOWCONTROL_RTSCTS,
                                                  SP_FLOWCONTROL_XONXOFF};
    *settings = (struct serial_settings){.baud = 115200, .bits = 8, .stop_bits = 1};
    if (!link_parameters_check(parameters, known, 5, problem) ||
        !link_parameter_number(parameters, "baud", 50, 12e6, &settings->baud, problem) ||
        !link_parameter_number(parameters, "bits", 5, 8, &settings->bits, problem) ||
        !link_parameter_number(parameters, "stop", 1, 2, &settings->stop_bits, problem)) {
        return false;
    }
    int parity = read_choice(parameters, "parity", parities, 3, problem);
    int flow = parity < 0 ? -1 : read_choice(parameters, "flow", flows, 3, problem);
    if (flow < 0) {
        return false;
    }
    settings->parity = parity_of[parity];
    settings->flow = flow_of[flow];
    return true;
}

static struct link *open_serial(const char *target, const char *parameters, struct problem *problem)
{
    static const struct port_functions functions = {.open = serial_open,
                                                    .read = serial_read,
                                                    .set_speed = serial_set_speed,
                                                    .close = serial_close,
                                                    .release = serial_release};
    struct serial_settings settings;
    if (!read_settings(parameters, &settings, problem)) {
        return NULL;
    }
    struct serial_link *link = calloc(1, sizeof *link);
    if (link == NULL) {
        problem_set(problem, "no memory for a link");
        return NULL;
    }
    if (target[0] == '\0' || strlen(target) >= sizeof link->path) {
        problem_usage(problem, "serial: wants the path of a port, as serial:/dev/ttyACM0");
        free(link);
        return NULL;
    }
    link->settings = settings;
    text_copy(link->path, sizeof link->path, target);
    if (!port_start(&link->port, &functions, target, problem)) {
        free(link);
        return NULL;
    }
    char said[32];
    link->port.head.baud = settings.baud;
    link->port.head.usual_baud = link->port.head.baud;
    link->port.head.speed_is_open = !link_parameter(parameters, "baud", said, sizeof said);
    return &link->port.head;
}

const struct link_kind link_kind_serial = {.scheme = "serial", .open = open_serial};
