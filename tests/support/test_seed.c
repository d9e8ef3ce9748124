/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/test_seed.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>

/* 2^64 over the golden ratio: neighbouring numbers give seeds far apart. */
#define APART UINT64_C(0x9E3779B97F4A7C15)

static uint64_t wanted(void)
{
    const char *text = getenv("HOLDLINE_TEST_SEED");
    return text != NULL ? strtoull(text, NULL, 10) : 0;
}

/* Linked into the programs alone that ask for a seed, and run before Check makes a process of each
 * test: it is said once. */
__attribute__((constructor)) static void say_once(void)
{
    printf("seed %" PRIu64 "\n", wanted());
    fflush(stdout);
}

uint64_t test_seed(uint64_t usual)
{
    return usual + wanted() * APART;
}
