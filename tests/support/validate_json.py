#!/usr/bin/env python3
# SPDX-FileCopyrightText: 2026 The Holdline authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""validate_json.py SCHEMA [FILE...]: is the schema sound, and is each document as it says?

A FILE whose name ends in .jsonl has a document on each line. Of each document two damaged copies are
tried, too, which the schema must refuse. Prints what is wrong; exit status 1 then.
"""
import json
import sys

import jsonschema

wrong = []


def described(schema, node, path):
    """Every property says what it is, where it stands or in the definition it names."""
    if isinstance(node, dict):
        if isinstance(node.get("$ref"), str) and node["$ref"].split("/")[-1] not in schema["$defs"]:
            wrong.append(f"{path}: there is no {node['$ref']}")
        for name, value in node.get("properties", {}).items():
            named = value.get("$ref", "").split("/")[-1]
            if "description" not in value and "description" not in schema.get("$defs", {}).get(named, {}):
                wrong.append(f"{path}/{name} is not described")
        if "properties" in node and node.get("additionalProperties", True) is not False:
            wrong.append(f"{path} lets in what is not described")
        for key, value in node.items():
            described(schema, value, f"{path}/{key}")
    elif isinstance(node, list):
        for value in node:
            described(schema, value, path)


def documents(name):
    with open(name, encoding="utf-8") as stream:
        lines = stream.read().splitlines() if name.endswith(".jsonl") else [stream.read()]
    return [json.loads(line) for line in lines]


def main():
    with open(sys.argv[1], encoding="utf-8") as stream:
        schema = json.load(stream)
    jsonschema.Draft202012Validator.check_schema(schema)
    if not schema.get("$id", "").startswith("urn:holdline:"):
        wrong.append("no $id")
    described(schema, schema, "")
    validator = jsonschema.Draft202012Validator(schema)
    for name in sys.argv[2:]:
        found = documents(name)
        if not found:
            wrong.append(f"{name}: no document")
        for number, document in enumerate(found, 1):
            for error in validator.iter_errors(document):
                deepest = jsonschema.exceptions.best_match([error])
                where = "/".join(str(step) for step in deepest.absolute_path)
                wrong.append(f"{name}:{number}: {where}: {deepest.message[:300]}")
            if number > 3:
                continue
            without = {key: value for key, value in document.items() if key != "format_version"}
            for damaged in (without, dict(document, surplus=1)):
                if validator.is_valid(damaged):
                    wrong.append(f"{name}:{number}: a damaged copy is taken")
    for line in wrong:
        print(f"{sys.argv[1]}: {line}")
    return 1 if wrong else 0


sys.exit(main())
