/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/json_schema.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>

bool json_validator_or_skip(void)
{
    if (system("python3 -c 'import jsonschema; jsonschema.Draft202012Validator' >/dev/null 2>&1") ==
        0) {
        return true;
    }
    printf("skipped: python3 with jsonschema is not here to validate JSON against its schema\n");
    return false;
}

void json_validate(const char *folder, const char *schema, const char *files)
{
    char command[8192];
    if (!json_validator_or_skip()) {
        return;
    }
    snprintf(command, sizeof command,
             "cd '%s' && python3 '%s/tests/support/validate_json.py' '%s' %s", folder, SOURCE_DIR,
             schema, files);
    ck_assert_msg(system(command) == 0, "%s", command);
}
