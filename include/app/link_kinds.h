/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_LINK_KINDS_H
#define HOLDLINE_APP_LINK_KINDS_H

#include "base/problem.h"
#include "rig/link.h"

/* links_open (app/links.h) of what says itself which link it is: all but 'auto'. */
struct link *link_kinds_open(const char *spec, struct problem *problem);

#endif
