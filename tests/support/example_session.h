/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_EXAMPLE_SESSION_H
#define HOLDLINE_TESTS_SUPPORT_EXAMPLE_SESSION_H

#include "analysis/analysis.h"
#include "record/record.h"

/* An invented visit, filled by hand so that every number in a report is known beforehand: three
 * setups on four builds, two channels, nine holds. Setup 2 lowers the head; setup 3 is not settled
 * for the head, not tied for the chest, and the rider can't see ahead on it. Hold 5 is rejected,
 * hold 9 kept afterwards, hold 7 was stopped early. Only structs are touched, so it can be linked
 * into any test. The caller frees both. */
struct session_record *example_record(void);
struct analysis *example_analysis(void);

#endif
