/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/fault_machine.h"

/* The commands on the short session. What is named here as written must come out whole or not at
 * all. */
#define STORE "--store", "s.db"
#define EXPORT(ending)                                                                             \
    {                                                                                              \
        .name = "export " ending, .arguments = {"export", "1", "out" ending, STORE},               \
        .before = "a session",                                                                     \
    }

const struct fault_case fault_cases[] = {
    {.name = "run",
     .arguments = {"run", "first.session", STORE},
     .before = "nothing",
     .changes = true},
    {.name = "run again",
     .arguments = {"run", "second.session", STORE},
     .before = "a session",
     .changes = true},
    {.name = "show", .arguments = {"show", "1", STORE}, .before = "a session"},
    {.name = "show --json", .arguments = {"show", "1", "--json", STORE}, .before = "a session"},
    {.name = "list", .arguments = {"list", STORE}, .before = "a session"},
    {.name = "compare", .arguments = {"compare", "1", STORE}, .before = "a session"},
    {.name = "replay", .arguments = {"replay", "1", STORE}, .before = "a session"},
    {.name = "plan", .arguments = {"plan", "--from", "1", STORE}, .before = "a session"},
    {.name = "listen",
     .arguments = {"listen", "setup-1-plate.rig?speed=max", "--health"},
     .before = "a session"},
    {.name = "measure", .arguments = {"measure", "setup-1-plate.rig"}, .before = "a session"},
    {.name = "place",
     /* letters of C.UTF-8 or, where it can't be loaded, of ASCII */
     .arguments = {"place", "--ascii", "stack=545", "reach=410", "head_angle=73", "stem_length=100",
                   "stem_angle=-6", "spacers=20", "pad_rise=60"},
     .before = "nothing"},
    EXPORT(".txt"),
    EXPORT(".json"),
    EXPORT(".html"),
    EXPORT("-sheet.html"),
    EXPORT(".csv"),
    EXPORT("-setups.csv"),
    EXPORT("-steps.csv"),
    EXPORT("-readings.csv"),
    EXPORT(".svg"),
    EXPORT("-cloud.svg"),
    EXPORT("-holds.svg"),
    EXPORT("-bike.svg"),
    EXPORT("-setups.svg"),
    {.name = "export -sheet.pdf",
     .arguments = {"export", "1", "out-sheet.pdf", STORE},
     .before = "a session",
     .disk_only = true},
    {.name = "store check", .arguments = {"store", "check", STORE}, .before = "a session"},
    {.name = "store backup",
     .arguments = {"store", "backup", "copy.db", STORE},
     .before = "a session"},
    {.name = "store merge",
     .arguments = {"store", "merge", "other.db", STORE},
     .before = "a session",
     .changes = true},
    {.name = "store rescue",
     .arguments = {"store", "rescue", "saved.db", STORE},
     .before = "a session"},
    {.name = "store compact",
     .arguments = {"store", "compact", STORE},
     .before = "a session",
     .changes = true},
    {.name = "store forget",
     .arguments = {"store", "forget", "R-10", "--yes", STORE},
     .before = "two sessions",
     .changes = true},
    {.name = "import",
     .arguments = {"import", "--started", "2026-01-10T18:00:00Z", "--seed", "3", "setup-1-a.rig",
                   STORE},
     .before = "nothing",
     .changes = true},
};
const int fault_case_count = sizeof fault_cases / sizeof fault_cases[0];
