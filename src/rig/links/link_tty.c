/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/text.h"
#include "rig/device.h"
#include "rig/link.h"
#include "rig/link_parameters.h"
#include "rig/port.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <termios.h>
#include <unistd.h>

/* Any terminal device, a pseudo-terminal among them, as plain POSIX. */

struct tty_link {
    struct port port;
    speed_t speed; /* B0 = as it is */
    bool was_open;
    struct stat opened; /* the path itself, when the device was opened last */
    char path[PATH_MAX];
};

static const struct {
    int baud;
    speed_t speed;
} speeds[] = {
    {1200, B1200},       {2400, B2400},       {4800, B4800},       {9600, B9600},
    {19200, B19200},     {38400, B38400},     {57600, B57600},     {115200, B115200},
    {230400, B230400},   {460800, B460800},   {500000, B500000},   {576000, B576000},
    {921600, B921600},   {1000000, B1000000}, {1500000, B1500000}, {2000000, B2000000},
    {3000000, B3000000},
};

static bool make_raw(int descriptor, speed_t speed)
{
    struct termios settings;
    if (tcgetattr(descriptor, &settings) != 0) {
        return false;
    }
    cfmakeraw(&settings);
    settings.c_cflag |= CLOCAL | CREAD;
    settings.c_cc[VMIN] = 1; /* so that a read of nothing means that nothing will come */
    settings.c_cc[VTIME] = 0;
    if (speed != B0 && cfsetspeed(&settings, speed) != 0) {
        return false;
    }
    return tcsetattr(descriptor, TCSANOW, &settings) == 0;
}

/* A pseudo-terminal's number goes to whoever opens the next window: once it is gone, whatever has
 * its name may be another's. It is taken up again only through a link that was made anew. */
static bool may_be_another(const struct tty_link *link)
{
    struct stat now;
    if (!link->was_open || !device_is_pseudo_terminal(link->path)) {
        return false;
    }
    if (lstat(link->path, &now) != 0) {
        return true;
    }
    bool same = now.st_ino == link->opened.st_ino &&
                now.st_ctim.tv_sec == link->opened.st_ctim.tv_sec &&
                now.st_ctim.tv_nsec == link->opened.st_ctim.tv_nsec;
    return same || !S_ISLNK(now.st_mode);
}

static bool tty_open(struct port *port, struct problem *problem)
{
    struct tty_link *link = (struct tty_link *)port;
    if (may_be_another(link)) {
        return device_open_problem(link->path, ENOENT, problem);
    }
    /* The path is looked up anew each time: a link in it may point elsewhere by now. */
    int descriptor = open(link->path, O_RDWR | O_NOCTTY | O_NONBLOCK | O_CLOEXEC);
    if (descriptor < 0) {
        return device_open_problem(link->path, errno, problem);
    }
    if (!isatty(descriptor)) {
        close(descriptor);
        return problem_set(problem, "'%s' is no terminal device", link->path);
    }
    if (!device_take(descriptor, link->path, problem)) {
        close(descriptor);
        return false;
    }
    if (!make_raw(descriptor, link->speed)) {
        problem_set(problem, "'%s' does not take the settings of a serial line: %s", link->path,
                    strerror(errno));
        device_give_back(descriptor);
        close(descriptor);
        return false;
    }
    link->was_open = lstat(link->path, &link->opened) == 0;
    port->descriptor = descriptor;
    return true;
}

static ssize_t tty_read(struct port *port, char *bytes, size_t size)
{
    return read(port->descriptor, bytes, size);
}

/* The speed that the device has; 0 = an unusual one. */
static double speed_now(int descriptor)
{
    struct termios settings;
    if (tcgetattr(descriptor, &settings) == 0) {
        for (size_t i = 0; i < sizeof speeds / sizeof speeds[0]; i++) {
            if (speeds[i].speed == cfgetispeed(&settings)) {
                return speeds[i].baud;
            }
        }
    }
    return 0;
}

/* Bytes that came at another speed are let go. A pseudo-terminal has no speed: what came through it
 * is as sound after the change as before. */
static bool tty_set_speed(struct port *port, double baud)
{
    struct tty_link *link = (struct tty_link *)port;
    bool stale = speed_now(port->descriptor) != baud && !device_is_pseudo_terminal(link->path);
    for (size_t i = 0; i < sizeof speeds / sizeof speeds[0]; i++) {
        if (speeds[i].baud == (int)baud && make_raw(port->descriptor, speeds[i].speed)) {
            link->speed = speeds[i].speed;
            if (stale) {
                tcflush(port->descriptor, TCIFLUSH);
            }
            return true;
        }
    }
    return false;
}

static void tty_close(struct port *port)
{
    device_give_back(port->descriptor);
    close(port->descriptor);
}

static void tty_release(struct port *port)
{
    free(port);
}

static bool read_speed(const char *parameters, speed_t *speed, struct problem *problem)
{
    double baud = 0;
    if (!link_parameter_number(parameters, "baud", 1, 4e6, &baud, problem)) {
        return false;
    }
    *speed = B0;
    if (baud > 0) {
        for (size_t i = 0; i < sizeof speeds / sizeof speeds[0]; i++) {
            if (speeds[i].baud == (int)baud) {
                *speed = speeds[i].speed;
                return true;
            }
        }
        return problem_usage(problem, "baud=%d: no usual speed of a terminal (9600, 115200, ...)",
                             (int)baud);
    }
    return true;
}

static struct link *open_tty(const char *target, const char *parameters, struct problem *problem)
{
    static const char *const known[] = {"baud"};
    static const struct port_functions functions = {.open = tty_open,
                                                    .read = tty_read,
                                                    .set_speed = tty_set_speed,
                                                    .close = tty_close,
                                                    .release = tty_release};
    struct tty_link *link = NULL;
    speed_t speed = B0;
    if (!link_parameters_check(parameters, known, 1, problem) ||
        !read_speed(parameters, &speed, problem)) {
        return NULL;
    }
    if (target[0] == '\0' || strlen(target) >= sizeof link->path) {
        problem_usage(problem, "tty: wants the path of a terminal device, as tty:/dev/pts/3");
        return NULL;
    }
    link = calloc(1, sizeof *link);
    if (link == NULL) {
        problem_set(problem, "no memory for a link");
        return NULL;
    }
    link->speed = speed;
    text_copy(link->path, sizeof link->path, target);
    if (!port_start(&link->port, &functions, target, problem)) {
        free(link);
        return NULL;
    }
    link->port.head.baud = speed_now(link->port.descriptor);
    link->port.head.usual_baud = link->port.head.baud;
    link->port.head.speed_is_open = speed == B0;
    return &link->port.head;
}

const struct link_kind link_kind_tty = {.scheme = "tty", .open = open_tty};
