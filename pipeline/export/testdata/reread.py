"""Reads exported tables with pandas and the reports with json, and compares them.

Usage: reread.py TABLES FOLDER
Prints how many values were compared; ends with 1 when one differs or is missing.
"""
import json
import pathlib
import sys

import pandas

tables, folder = map(pathlib.Path, sys.argv[1:])
read = lambda name: pandas.read_csv(tables / (name + ".csv"), float_precision="round_trip", dtype={"results": str}, keep_default_na=False, na_values=[""])
clips, events, measures, witnesses, terms, tracks, paths = map(read, ["clips", "events", "measures", "witnesses", "uncertainty", "tracks", "paths"])
settings = pandas.read_csv(tables / "settings.csv", dtype=str, keep_default_na=False)
compared, wrong = 0, []


def same(what, got, want):
    global compared
    compared += 1
    if want is None or want == "":
        ok = pandas.isna(got)
    else:
        ok = got == want
    if not ok:
        wrong.append(f"{what}: {got!r}, the report has {want!r}")


def one(table, **keys):
    rows = table
    for k, v in keys.items():
        rows = rows[rows[k] == v]
    if len(rows) != 1:
        wrong.append(f"{len(rows)} rows of {keys}")
        return None
    return rows.iloc[0]


rows = dict(events=0, measures=0, witnesses=0, terms=0, tracks=0, paths=0)
reports = sorted(folder.rglob("report.json"))
for file in reports:
    name = file.parent.relative_to(folder).as_posix()
    report = json.loads(file.read_text())
    clip = one(clips, results=name)
    for k in ["file", "sha256", "width", "height", "frames", "duration_s", "capture_rate", "handedness", "view"]:
        same(f"{name} {k}", clip[k], report["clip"][k])
    ruler = report["camera"]["ruler"]
    same(f"{name} scale", clip["ruler_px_per_m"], ruler and ruler["px_per_m"])
    changed = report["made_by"].get("changed", {})
    mine = settings[settings.results == name]
    same(f"{name} settings", dict(zip(mine.key, mine.value)), changed)
    for stroke in report["strokes"]:
        at = dict(results=name, stroke=stroke["index"] + 1)
        for event, e in stroke["events"].items():
            row = one(events, event=event, **at)
            rows["events"] += 1
            for k in ["t_s", "u95_s", "status", "reason"]:
                same(f"{at} {event} {k}", row[k], e.get(k))
            for w in e.get("witnesses", []):
                row = one(witnesses, event=event, witness=w["name"], t_s=w["t_s"], **at)
                rows["witnesses"] += 1
                same(f"{at} {event} {w['name']}", row["u95_s"], w["u95_s"])
        for measure, m in stroke["measures"].items():
            row = one(measures, measure=measure, **at)
            rows["measures"] += 1
            same(f"{at} {measure} kind", row["kind"], stroke["kind"])
            for k in ["value", "word", "unit", "u95", "lo95", "hi95", "status", "reason", "how"]:
                got = row[k]
                same(f"{at} {measure} {k}", str(got) if k == "unit" and not pandas.isna(got) else got, m.get(k))
        for of, u in stroke.get("uncertainty", {}).items():
            mine = terms[(terms.results == name) & (terms.stroke == at["stroke"]) & (terms["of"] == of)]
            rows["terms"] += len(mine)
            same(f"{at} {of} terms", len(mine), len(u["terms"]))
            sum_ = ((mine.sensitivity * mine.u) ** 2).sum() ** 0.5
            same(f"{at} {of} adds up", bool(abs(sum_ - u["u"]) <= 1e-3 * u["u"] + 1e-12), True)
    for table, csv in [("tracks", "track.csv"), ("paths", "path.csv")]:
        have = tracks if table == "tracks" else paths
        have = have[have.results == name].drop(columns="results").reset_index(drop=True)
        if not (file.parent / csv).exists():
            same(f"{name} {csv}", len(have), 0)
            continue
        want = pandas.read_csv(file.parent / csv, float_precision="round_trip")
        rows[table] += len(want)
        try:
            pandas.testing.assert_frame_equal(have, want, check_exact=True, check_dtype=False, check_index_type=False, check_column_type=False)
            compared += want.size
        except AssertionError as e:
            wrong.append(f"{name} {csv}: {e}")

for table, n in rows.items():
    same(f"rows of {table}", len(dict(events=events, measures=measures, witnesses=witnesses, terms=terms, tracks=tracks, paths=paths)[table]), n)
same("clips", len(clips), len(reports))

words = pandas.read_csv(tables / "dictionary.csv", dtype=str, keep_default_na=False)
for file in sorted(tables.glob("*.csv")):
    if file.name != "dictionary.csv":
        mine = words[(words.table == file.name) & (words.column != "") & (words.value == "")]
        same(f"columns of {file.name}", list(mine.column), list(pandas.read_csv(file, nrows=0).columns))
for table, column in [(events, "event"), (measures, "measure")]:
    unknown = set(table[column]) - set(words[words.column == column].value)
    same(f"{column} not in the dictionary", sorted(unknown), [])
same("meanings missing", int((words.meaning == "").sum()), 0)

for w in wrong[:20]:
    print("differs:", w)
print(f"{compared} values of {len(reports)} reports compared, {len(wrong)} differ")
sys.exit(bool(wrong))
