/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_SPOILED_H
#define HOLDLINE_TESTS_SUPPORT_SPOILED_H

#include "record/record.h"

/* What stands behind the last record of each kind is none: it becomes rubbish, so that who counts
 * one too many, or takes a place without clearing it, is seen. */
void spoil_behind(struct session_record *record);

#endif
