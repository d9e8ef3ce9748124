/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_DEMO_H
#define HOLDLINE_APP_DEMO_H

#include <stddef.h>
#include <stdint.h>

/* The demo's invented rider and bike: a club's winter indoor training group. */

/* The whole session as a script: the bike as it came twice, three changed setups twice each, the
 * bike as it came twice again. DEMO_SCRIPT_SIZE is room enough. */
void demo_script(char *script, size_t size, uint64_t seed);
#define DEMO_SCRIPT_SIZE 8192

/* What the live demo begins with: rider, bike, sensors, setup 1, band. Ended by NULL. */
extern const char *const demo_first_commands[];

/* The virtual rig's name. */
#define DEMO_RIG "virtual:winter"

#endif
