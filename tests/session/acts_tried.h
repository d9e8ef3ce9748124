/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SESSION_ACTS_TRIED_H
#define HOLDLINE_TESTS_SESSION_ACTS_TRIED_H

#include "support/session_drive.h"

#include <stddef.h>

/* An act of each command, with what must be there before. A command that is missing here is
 * refused by the test, unless it is of those that stay and says why. */
static const struct {
    const char *word;
    const char *before[3], *line;
    int samples; /* until it has come to something */
} tries[] = {
    {"rider", {NULL}, "rider R-09 \"someone else\" watch_for=\"left knee\"", 0},
    {"bike", {NULL}, "bike \"another\" stack=560 spacers=25", 0},
    {"sensor", {NULL}, "sensor head carrier=stand x=10 y=20 mark=\"ear\"", 0},
    {"setup", {NULL}, "setup 2 \"pads down\" pad_rise=40", 0},
    {"build", {"setup 1"}, "build", 0},
    {"correct",
     {"setup 2 \"pads down\" pad_rise=40"},
     "correct 2 \"pads further down\" pad_rise=35",
     0},
    {"plate", {NULL}, "plate 5s height=930", 400},
    {"tape", {NULL}, "tape head=632 sure=yes", 0},
    {"target", {NULL}, "target head=884 chest=771 known_to=4mm sure=yes", 0},
    {"band", {"target head=884 chest=771 sure=yes"}, "band head=+10/-20 chest=+8/none", 0},
    {"cue", {"band head=+10/-20"}, "cue head on_delay=3s", 0},
    {"hold", {NULL}, "hold 20s free settle=2s", 1200},
    {"practice", {NULL}, "practice row=2 length=45s pieces=6", 0},
    {"ride", {"target head=884 chest=771 sure=yes"}, "ride 20s settle=2s", 1200},
    {"guess",
     {"target head=884 chest=771 sure=yes", "hold 10s piece settle=0s told=after"},
     "guess 7",
     0},
    {"keep", {NULL}, "keep 10s", 0},
    {"mark", {NULL}, "mark slid", 0},
    {"reject", {"keep 10s"}, "reject 1 \"phone rang\"", 0},
    {"restore", {"keep 10s", "reject 1 \"phone rang\""}, "restore 1", 0},
    {"rating", {NULL}, "rating effort=4 neck=2", 0},
    {"note", {NULL}, "note \"saddle nose slides\"", 0},
    {"matters", {NULL}, "matters head=5", 0},
    {"baseline", {"setup 2 pad_rise=40"}, "baseline 2", 0},
    {"choose", {"setup 2 pad_rise=40"}, "choose 2", 0},
    {"slope", {NULL}, "slope 18", 0},
    {"minutes", {NULL}, "minutes 45", 0},
    {"known", {NULL}, "known 4 \"of last year\" spacers=5", 0},
    {"placing", {NULL}, "placing", 0},
    {"limits", {NULL}, "limits spacers=30 pad_rise=5..65", 0},
    {"torque", {"torque pads=4"}, "torque stem_clamp=5 pads=none", 0},
    {"check", {NULL}, "check still 20s", 1300},
    {"calibrate", {NULL}, "calibrate head 200 400 600 2s pause=1s", 700},
    {"moved", {"build"}, "moved yes", 0},
    {"slipped", {"build"}, "slipped yes setup=1 build=2", 0},
    {"learnt", {NULL}, "learnt rider", 0},
    {"sound", {NULL}, "sound off", 0},
    {"pass", {"minutes 60"}, "pass checks", 0},
    {"remove", {"setup 22 pad_rise=40", "setup 3 spacers=5"}, "remove 22", 0},
    {"same",
     {"setup 2 pad_rise=40", "hold 10s free settle=0s", "setup 3 \"again\""},
     "same 3 2",
     0},
    {"renumber", {"setup 22 pad_rise=40"}, "renumber 22 2", 0},
    {"belongs",
     {"setup 2 pad_rise=40", "setup 1", "rating effort=3"},
     "belongs 2 setup=1 build=2",
     0},
    {"mass", {"mass 85kg"}, "mass 84.5kg", 0},
    {"course", {NULL}, "course laps length=250m indoors=yes", 0},
    {"air", {NULL}, "air 20C 1013hPa 50% wind=0.5 at=14:05", 0},
    {"run", {"course laps length=250m"}, "run setup=1 file=a.csv speed=wheel effort=6", 0},
    {"leg",
     {"course laps length=250m", "run setup=1 file=a.csv speed=wheel"},
     "leg way=lap length=250 time=22.9 work=5600 mean=10.9 squared=119 in=10.9 out=11 pieces=25",
     0},
    {"pieces",
     {"course laps", "run setup=1 speed=wheel",
      "leg way=lap length=250 time=22.9 work=5600 mean=10.9 squared=119 in=10.9 out=11 pieces=25"},
     "pieces 560/10.9/10.95 561/10.95/11",
     0},
    {"stop", {"hold 60s free settle=0s"}, "stop", 0},
};
#define TRIES ((int)(sizeof tries / sizeof tries[0]))

static inline void begin(struct drive *drive)
{
    drive_start(drive, 77);
    drive_describe(drive);
    drive_do(drive, "setup 1 \"as it came\"");
    drive_samples(drive, 800);
}

#endif
