/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/package.h"

/* The file itself, taken in by the assembler: there is no copy of it to keep true, and a package
 * can be made where docs/ is not. */
__asm__(".pushsection .rodata\n"
        ".globl package_schema\n"
        "package_schema:\n"
        ".incbin \"docs/export.schema.json\"\n"
        ".byte 0\n"
        ".popsection\n");
