/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/commands.h"
#include "app/decoder_arguments.h"
#include "app/links.h"
#include "app/rig_check.h"

/* holdline plate RIG: the range to a fixed plate, which ties heights together. */

static int run(int argc, char **argv)
{
    return rig_check_command(argc, argv, "still", true);
}

const struct command command_plate_rig = {
    .name = "plate",
    .summary = "the range to a fixed plate, which ties heights together",
    .usage =
        "holdline plate RIG [5s]\n"
        "Reads a plate that is held over all beams at an unchanging height, and prints each\n"
        "sensor's range and the line that a session takes it by. Read it for each build whose\n"
        "sensors moved, before and after they are fixed anew, and next month.\n" RIG_CHECK_USAGE
        "\n" DECODER_USAGE "\n" LINKS_USAGE,
    .run = run,
};
