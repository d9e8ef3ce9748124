/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/sample.h"

WORD_LIST(
    quality_words, [READING_GOOD] = "good", [READING_MISSING] = "missing", [READING_WEAK] = "weak",
    [READING_SATURATED] = "saturated", [READING_OUT_OF_RANGE] = "out of range");
