# SPDX-FileCopyrightText: 2026 The Holdline authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Reads an export's JSON and CSV files with Python's own readers and compares them, number by
number, with the store, read by Python's own sqlite3: another reader than the program's tests have.

    compare_export.py STORE SESSION_ID JSON HOLDS_CSV SETUPS_CSV READINGS_CSV

The first difference ends it with a sentence; else it says how many numbers were compared."""

import csv
import json
import sqlite3
import sys

compared = 0


def same(what, found, stored):
    """Texts and whole numbers as they are, fractions to the last bit; '' and None are 'nothing'."""
    global compared
    compared += 1
    if stored is None or stored == "":
        agree = found is None or found == ""
    elif isinstance(stored, (int, float)):
        agree = found not in (None, "") and float(found) == float(stored)
    else:
        agree = found == stored
    if not agree:
        sys.exit(f"{what}: {found!r} in the export, {stored!r} in the store")


def rows_of(path):
    with open(path, encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream, strict=True))


def plain(cell):
    """A cell without what makes a formula harmless."""
    return cell[1:] if cell.startswith("'") else cell


def compare_json(session, export, store):
    head = store.execute("SELECT * FROM session WHERE id = ?", (session,)).fetchone()
    for member in ("uuid", "started"):
        same(member, export["session"][member], head[member])
    same("samples", export["session"]["samples"], head["sample_count"])
    same("seed", export["session"]["seed"], str(head["seed"] % 2**64))
    same("baseline", export["settings"]["baseline_setup"], head["baseline_setup"])
    same("chosen", export["settings"]["chosen_setup"] or 0, head["chosen_setup"])
    rider = store.execute("SELECT * FROM session_rider WHERE session_id = ?", (session,)).fetchone()
    for member in ("uuid", "code", "name", "watch_for"):
        same(f"rider's {member}", export["rider"][member], rider[member])
    limits = store.execute("SELECT * FROM part_limit WHERE session_id = ?", (session,)).fetchall()
    same("number of limits", len(export["settings"]["limits"]), len(limits))
    for limit in limits:
        for member in ("least", "most", "unit"):
            same(f"limit of {limit['key']}", export["settings"]["limits"][limit["key"]][member],
                 limit[member])
    torques = store.execute("SELECT * FROM bolt_torque WHERE session_id = ?", (session,)).fetchall()
    same("number of torques", len(export["settings"]["torques_nm"]), len(torques))
    for torque in torques:
        same(f"torque of {torque['key']}", export["settings"]["torques_nm"][torque["key"]],
             torque["nm"])
    setups = store.execute("SELECT * FROM setup WHERE session_id = ? ORDER BY place",
                           (session,)).fetchall()
    same("number of setups", len(export["setups"]), len(setups))
    for setup, stored in zip(export["setups"], setups):
        for member in ("uuid", "number", "intent"):
            same(f"setup's {member}", setup[member], stored[member])
        parts = dict(store.execute("SELECT key, value FROM setup_value WHERE session_id = ?"
                                   " AND setup = ?", (session, stored["place"])).fetchall())
        for key, value in setup["parts"].items():
            same(f"setup {stored['number']}, {key}", value, parts.get(key))
    for kind, table, members in (
            ("captures", "capture", ("uuid", "kind", "first_sample", "last_sample")),
            ("tie_readings", "tie_reading", ("uuid", "kind", "build", "value_mm",
                                             "plate_height_mm", "at_sample")),
            ("builds", "build", ("uuid", "ordinal", "first_sample", "placing")),
            ("notes", "note", ("uuid", "sample", "text")),
            ("commands", "command", ("ordinal", "after_sample", "text"))):
        order = "ordinal" if table == "command" else "place"
        stored_rows = store.execute(f"SELECT * FROM {table} WHERE session_id = ? ORDER BY {order}",
                                    (session,)).fetchall()
        same(f"number of {kind}", len(export[kind]), len(stored_rows))
        for one, stored in zip(export[kind], stored_rows):
            for member in members:
                same(f"{kind}, {member}", one[member], stored[member])
    ratings = store.execute("SELECT * FROM rating WHERE session_id = ? ORDER BY place",
                            (session,)).fetchall()
    same("number of ratings", len(export["ratings"]), len(ratings))
    for rating, stored in zip(export["ratings"], ratings):
        for key, score in rating["scores"].items():
            same(f"rating, {key}", score, stored[key])
        same("sees ahead", rating["sees_ahead"], stored["sees_ahead"])
        same("could stay", rating["could_stay_min"], stored["could_stay_min"])


def compare_holds(session, holds, export, store):
    stored = {row["hold"]: row for row in
              store.execute("SELECT * FROM hold_sheet WHERE session = ?", (session,))}
    channels = {row["name"] for row in
                store.execute("SELECT name FROM channel WHERE session_id = ?", (session,))}
    same("rows of holds", len(holds), len(stored) * len(channels))
    for row in holds:
        hold = stored[int(row["hold"])]
        for cell, column in (("setup", "setup"), ("build", "build"), ("kind", "kind"),
                             ("status", "status")):
            same(f"hold {row['hold']}, {cell}", row[cell], str(hold[column]))
        same("rejected", row["rejected"], "yes" if hold["rejected"] else "no")
        same("reason", plain(row["reject_reason"]), hold["reject_reason"])
        given = [one for one in export["holds"][int(row["hold"]) - 1]["channels"]
                 if one["channel"] == row["channel"]][0]
        for cell in ("mean_mm", "sd_mm"):
            decimals = len(row[cell].partition(".")[2])
            if abs(float(row[cell]) - given[cell]) > 0.5001 * 10**-decimals:
                sys.exit(f"hold {row['hold']}, {cell}: {row[cell]} in CSV, {given[cell]} in JSON")


def compare_setups(session, setups, store):
    chosen = store.execute("SELECT chosen_setup FROM session WHERE id = ?", (session,)).fetchone()[0]
    intents = dict(store.execute("SELECT number, intent FROM setup WHERE session_id = ?", (session,)))
    for row in setups:
        same("intent", plain(row["intent"]), intents[int(row["setup"])])
        same("chosen", row["chosen"], "yes" if int(row["setup"]) == chosen else "no")


def compare_readings(session, readings, store):
    stored = store.execute(
        "SELECT k.place, r.sample, r.seconds, r.channel, r.range_mm, r.quality FROM capture k"
        " JOIN session s ON s.id = k.session_id JOIN reading r ON r.session = k.session_id"
        " AND r.n BETWEEN s.first_n - 1 + k.first_sample AND s.first_n - 1 + k.last_sample"
        " JOIN channel c ON c.session_id = k.session_id AND c.name = r.channel"
        " WHERE k.session_id = ? ORDER BY k.place, r.n, c.channel", (session,)).fetchall()
    same("number of readings", len(readings), len(stored))
    for row, reading in zip(readings, stored):
        what = f"sample {reading['sample']}, {reading['channel']}"
        same(what, row["sample"], reading["sample"])
        same(what, row["channel"], reading["channel"])
        same(what, row["quality"], reading["quality"])
        same(what, row["range_mm"], reading["range_mm"])
        same(what, row["seconds"], reading["seconds"])


def main():
    path, session, *files = sys.argv[1:]
    store = sqlite3.connect(f"file:{path}?mode=ro", uri=True)
    store.row_factory = sqlite3.Row
    with open(files[0], encoding="utf-8") as stream:
        export = json.load(stream)
    compare_json(int(session), export, store)
    compare_holds(int(session), rows_of(files[1]), export, store)
    compare_setups(int(session), rows_of(files[2]), store)
    compare_readings(int(session), rows_of(files[3]), store)
    print(f"{compared} compared")


main()
