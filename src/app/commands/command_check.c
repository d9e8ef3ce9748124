/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/commands.h"
#include "app/decoder_arguments.h"
#include "app/links.h"
#include "app/rig_check.h"

#include <stddef.h>

/* holdline check RIG all|rider|beam|step|still: is this sensor to be trusted? */

static int run(int argc, char **argv)
{
    return rig_check_command(argc, argv, NULL, false);
}

const struct command command_check_rig = {
    .name = "check",
    .summary = "rider, beam, step and still tests of the sensors, or all",
    .usage =
        "holdline check RIG all block=25 [rider] [--out FILE.pdf]\n"
        "holdline check RIG still [CHANNEL] [60s]\n"
        "holdline check RIG step CHANNEL block=25 [20s]\n"
        "holdline check RIG beam CHANNEL [block=50] [5s]\n"
        "holdline check RIG rider [20s]\n"
        "Says what to do, step by step, takes readings, and tells whether the sensors can be\n"
        "trusted, with reasons. Exit status 0: passed.\n"
        "  all      still, then the step and the beam of each sensor, then the rider where one is\n"
        "           on the bike: one row, one report with what the sensors leave open\n"
        "  still    before a fixed plate: noise, drift, the step between readings, and how far\n"
        "           averaging helps (Allan deviation over averaging time)\n"
        "  step     a block of known thickness is laid on a plate: the range must get shorter by\n"
        "           it, within 1.5 mm or 5 %; block_u=0.05 is the block's own standard "
        "uncertainty\n"
        "  beam     a hand, or a block, moves in one beam: that sensor must respond, the right\n"
        "           way, by the right amount, and no other\n"
        "  rider    pedal, nod, wave the hands, come up: head and chest must follow, hands must\n"
        "           not be seen, and no beam may see two things\n"
        "  --out FILE           of all: the report as .pdf, .html, .json or .txt\n"
        "  --replace            over a file that is there\n"
        "Where the Enter key is waited for, b and Enter makes a check, or the one before, once "
        "more.\n"
        "pause=8s is the time to do what is asked where no Enter key is waited "
        "for.\n" RIG_CHECK_USAGE "\n" DECODER_USAGE "\n" LINKS_USAGE,
    .run = run,
};
