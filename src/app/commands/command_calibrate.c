/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/commands.h"
#include "app/decoder_arguments.h"
#include "app/links.h"
#include "app/rig_check.h"

/* holdline calibrate RIG CHANNEL 200 400 600: a straight line through known distances. */

static int run(int argc, char **argv)
{
    return rig_check_command(argc, argv, "calibrate", false);
}

const struct command command_calibrate_rig = {
    .name = "calibrate",
    .summary = "a sensor's straight line through known distances",
    .usage =
        "holdline calibrate RIG CHANNEL 200 400 600 400 200 [5s] [pause=8s]\n"
        "Reads a plate at two or more known distances from the sensor, in mm, in turn (up and\n"
        "down again shows what a sensor forgets), and prints the line through them: true range\n"
        "= gain x reading + offset, with standard errors, residuals, and whether a straight\n"
        "line is enough; and the line that a session takes it by. In a session 'calibrate'\n"
        "with the same words keeps it with the placing.\n" RIG_CHECK_USAGE "\n" DECODER_USAGE
        "\n" LINKS_USAGE,
    .run = run,
};
