/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_LINKS_H
#define HOLDLINE_APP_LINKS_H

#include "base/problem.h"
#include "rig/decoder.h"
#include "rig/link.h"

/* Opens a rig as a person writes it: 'serial:PATH', 'tty:PATH', 'file:PATH', 'virtual:NAME', each
 * with
 * '?name=value&...' behind it; '-' for standard input; 'auto' for the one port on which a rig is
 * heard; or just a path, of a device or of a recorded stream. What is known of a board (its speed,
 * how its stream is read) is taken where nothing is said of it. NULL with a problem. The caller
 * closes it. */
struct link *links_open(const char *spec, struct decoder_options *options, struct problem *problem);
/* The same; who waits may end it, and gets what may be read another way (app/port_scan.h). */
struct port_search;
struct link *links_search(const char *spec, struct decoder_options *options,
                          struct port_search *search, struct problem *problem);
/* Readings came of it at the link's speed: it is kept where it had to be found. */
void links_learn(const char *spec, const struct link *link, const struct decoder_options *options);

/* Says on standard error that a cable is out, and that it is back; *down is kept between the calls.
 */
void links_tell(enum link_result result, bool *down);

/* How a rig can be written, for the commands' help. */
#define LINKS_USAGE                                                                                \
    "A RIG is one of:\n"                                                                           \
    "  /dev/ttyACM0         a serial port; ?baud=9600 behind it for another speed\n"               \
    "  auto                 the one port on which a rig is heard\n"                                \
    "  tty:/dev/pts/3       any other terminal device\n"                                           \
    "  winter.rig           a recorded stream at its own pace; ?speed=4, ?speed=max faster,\n"     \
    "                       ?rate=50 where it carries no time of its own\n"                        \
    "  -                    standard input\n"                                                      \
    "  virtual:winter       the virtual rig; also steady, restless, learner, rough; ?seed=7\n"

#endif
