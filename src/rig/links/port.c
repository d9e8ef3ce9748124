/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/port.h"

#include "base/clock.h"
#include "base/text.h"

#include <errno.h>
#include <poll.h>

#define RETRY_US 200000

/* Waits for the device, the wake descriptor or the time; true when the device has something to say.
 */
static bool wait_for(const struct port *port, int timeout_ms, short *events)
{
    struct pollfd polled[2] = {
        {.fd = port->descriptor, .events = POLLIN},
        {.fd = port->head.wake_fd, .events = POLLIN},
    };
    *events = 0;
    if (poll(polled, 2, timeout_ms) <= 0) { /* a descriptor of -1 is passed over */
        return false;
    }
    *events = polled[0].revents;
    return *events != 0;
}

static enum link_result go_down(struct port *port)
{
    port->functions->close(port);
    port->descriptor = -1;
    port->head.times_down++;
    port->next_try_us = clock_monotonic_us() + RETRY_US / 4;
    return LINK_DOWN;
}

static enum link_result try_again(struct port *port, int timeout_ms)
{
    int64_t wait_us = port->next_try_us - clock_monotonic_us();
    if (wait_us > 0) {
        int wait_ms = (int)((wait_us + 999) / 1000);
        bool enough = timeout_ms < 0 || wait_ms <= timeout_ms;
        short events = 0;
        wait_for(port, enough ? wait_ms : timeout_ms, &events);
        if (clock_monotonic_us() < port->next_try_us) {
            return LINK_DOWN;
        }
    }
    if (!port->functions->open(port, NULL)) {
        port->descriptor = -1;
        port->next_try_us = clock_monotonic_us() + RETRY_US;
        return LINK_DOWN;
    }
    return LINK_UP;
}

static enum link_result port_read(struct link *link, char *bytes, size_t size, size_t *length,
                                  int timeout_ms, int64_t *arrival_us, struct problem *problem)
{
    (void)problem;
    struct port *port = (struct port *)link;
    enum link_result result = LINK_QUIET;
    *length = 0;
    if (port->descriptor < 0) {
        result = try_again(port, timeout_ms);
    } else {
        short events = 0;
        if (wait_for(port, timeout_ms, &events)) {
            ssize_t count = port->functions->read(port, bytes, size);
            bool nothing = count < 0 && (errno == EAGAIN || errno == EINTR);
            if (count > 0) {
                *length = (size_t)count;
                result = LINK_BYTES;
            } else if (!nothing || (events & (POLLHUP | POLLERR | POLLNVAL)) != 0) {
                result = go_down(port);
            }
        }
    }
    *arrival_us = clock_monotonic_us();
    return result;
}

static bool port_set_speed(struct link *link, double baud)
{
    struct port *port = (struct port *)link;
    return port->descriptor >= 0 && port->functions->set_speed(port, baud);
}

static void port_close(struct link *link)
{
    struct port *port = (struct port *)link;
    if (port->descriptor >= 0) {
        port->functions->close(port);
    }
    port->functions->release(port);
}

bool port_start(struct port *port, const struct port_functions *functions, const char *name,
                struct problem *problem)
{
    static const struct link_functions link_functions = {
        .read = port_read, .write_line = NULL, .set_speed = port_set_speed, .close = port_close};
    port->head = (struct link){
        .functions = &link_functions, .can_wait = false, .time_is_arrival = true, .wake_fd = -1};
    text_clean(port->head.name, sizeof port->head.name, name);
    port->functions = functions;
    port->descriptor = -1;
    return functions->open(port, problem);
}
