"""Whether a change of the code changed what any command that reads prints: kept before it, compared after it.

    python tests/same_outputs.py keep DIRECTORY         # before
    python tests/same_outputs.py compare DIRECTORY [OLD=NEW ...]

After the change, `compare` prints what differs and exits 1 if anything does; words that were changed on purpose are
given as OLD=NEW, and what is said now is left beside in now.json.

Two orchards, the invented sample and one made up by chance from a fixed seed, are asked on 24 days of a year, in words
and as JSON. Both are brought in through CSV files by the commands, so that nothing here hangs on how the code is cut.
"""

from __future__ import annotations

import difflib
import json
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from datetime import date, timedelta
from functools import partial
from pathlib import Path
from random import Random

from chance_orchard import write_chance_tables, write_temperatures

ROOT = Path(__file__).resolve().parents[1]
SAMPLE = ROOT / "sample_config"
DAYS = tuple(date(2025, 12, 3) + timedelta(days=15 * number + number % 4) for number in range(24))
KINDS = ("trees", "grafts", "lives", "wood", "sightings", "ticks", "tastings", "troubles", "sprays", "varieties")
READING = (
    "week",
    "season",
    "stages",
    "wood",
    "trees",
    "fruit",
    "propose",
    "report",
    "rates",
    "wraps",
    "check",
    "temps show",
)
PRINTED = ("sheet", "sheet --cards", "labels")
WRITTEN = ("sheet --html", "sheet --cards --html", "labels --html", "report --html", "calendar")
SHOWN_LINES = 60
Outputs = dict[str, object]

ASK = """
import io, json, sys
from contextlib import redirect_stderr, redirect_stdout
from tendwork.cli import main

def said(words):
    out, err = io.StringIO(), io.StringIO()
    code = 0
    sys.argv = ["tendwork", *words]
    with redirect_stdout(out), redirect_stderr(err):
        try:
            main()
        except SystemExit as end:
            code = end.code or 0
    return {"exit": code, "out": out.getvalue(), "err": err.getvalue()}

day = sys.argv[1]
answers = {" ".join(words): said([*words, "--on", day]) for words in json.load(sys.stdin)}
for task in json.loads(answers["week --json"]["out"])["tasks"][:12]:
    for form in ((), ("--json",)):
        answers[" ".join(("why", task["key"], *form))] = said(["why", task["key"], "--on", day, *form])
json.dump(answers, sys.stdout)
"""


def made(folder: Path, site: str, tables: Path) -> None:
    """Begin an orchard with this site file and bring in its tables and temperatures."""
    place = ("--timezone", "Europe/London", "--latitude", "51", "--longitude", "0")
    run(folder, "begin", str(folder), "--name", "Any", *place)
    (folder / "site.toml").write_text(site, encoding="utf-8")
    for kind in KINDS:
        if (tables / f"{kind}.csv").exists():
            run(folder, "bring", str(tables / f"{kind}.csv"), "--as", kind, "--on", "2026-12-20")
    run(folder, "temps", "add", str(tables / "temperatures.csv"), "--unit", "celsius", "--on", str(DAYS[0]))


def run(folder: Path, *words: str) -> None:
    """A command that must succeed, as the person of this orchard."""
    command = [sys.executable, "-m", "tendwork", *words]
    done = subprocess.run(command, env=own_environment(folder), capture_output=True, text=True, check=False)
    if done.returncode:
        raise SystemExit(f"{' '.join(words)}: {done.stdout}{done.stderr}")


def own_environment(folder: Path) -> dict[str, str]:
    home = folder.with_name(f"{folder.name}-home")
    home.mkdir(exist_ok=True)
    places = ("HOME", "XDG_CONFIG_HOME", "XDG_CACHE_HOME", "XDG_DATA_HOME", "XDG_STATE_HOME", "XDG_RUNTIME_DIR")
    own = {**os.environ, **dict.fromkeys(places, str(home)), "TENDWORK_ORCHARD": str(folder)}
    return {**own, "PYTHONPATH": str(ROOT), "COLUMNS": "100", "NO_COLOR": "1", "TZ": "Europe/London"}


def sample_orchard(place: Path) -> Path:
    tables = place / "sample-tables"
    shutil.copytree(SAMPLE, tables)
    write_temperatures(tables, Random(15), mean_c=9.5, swing_c=7.5)
    made(place / "sample", (SAMPLE / "site.toml").read_text(encoding="utf-8"), tables)
    return place / "sample"


def chance_orchard(place: Path) -> Path:
    tables = place / "chance-tables"
    tables.mkdir()
    write_chance_tables(tables, Random(16))
    site = (SAMPLE / "site.toml").read_text(encoding="utf-8")
    site = site.replace("latitude = 52.2", "latitude = 47.4").replace("elevation_m = 300", "elevation_m = 520")
    made(place / "chance", site, tables)
    return place / "chance"


def answers(folder: Path, day: date) -> Outputs:
    """What every reading command says on a day, and what every written page holds."""
    out = folder.with_name(f"{folder.name}-{day}")
    out.mkdir()
    asked = [[*words.split(), *form] for words in READING for form in ([], ["--json"])]
    asked += [words.split() for words in PRINTED]
    asked += [[*words.split(), str(out / str(number))] for number, words in enumerate(WRITTEN)]
    done = subprocess.run(
        [sys.executable, "-c", ASK, str(day)],
        input=json.dumps(asked),
        env=own_environment(folder),
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        raise SystemExit(done.stderr)
    found: Outputs = json.loads(done.stdout)
    for number, words in enumerate(WRITTEN):
        found[f"file of {words}"] = (out / str(number)).read_text(encoding="utf-8")
    return found


def year_of(make: object, place: Path) -> dict[str, Outputs]:
    """All days of one orchard in their order, as each plan is compared with that of the day before."""
    assert callable(make)
    folder = make(place)
    return {f"{folder.name} {day}": answers(folder, day) for day in DAYS}


def gathered(place: Path) -> dict[str, Outputs]:
    """Everything of both orchards, by orchard and day, without the place where this ran."""
    with ThreadPoolExecutor() as pool:
        sample, chance = pool.map(partial(year_of, place=place), (sample_orchard, chance_orchard))
    text = json.dumps(sample | chance, ensure_ascii=False).replace(str(place), "PLACE")
    everything: dict[str, Outputs] = json.loads(text)
    return everything


def differences(before: object, after: object, where: str = "") -> Iterator[str]:
    if before == after:
        return
    if isinstance(before, dict) and isinstance(after, dict):
        for key in dict.fromkeys((*before, *after)):
            yield from differences(before.get(key), after.get(key), f"{where} > {key}")
    else:
        yield f"== {where}"
        lines = str(before).splitlines(), str(after).splitlines()
        yield from difflib.unified_diff(*lines, "before", "after", lineterm="", n=0)


def main(word: str, directory: str, *reworded: str) -> int:
    kept = Path(directory) / "outputs.json"
    with tempfile.TemporaryDirectory() as place:
        now = gathered(Path(place).resolve())
    outputs = f"{sum(map(len, now.values()))} outputs of {len(now)} days"
    if word == "keep":
        kept.parent.mkdir(parents=True, exist_ok=True)
        kept.write_text(json.dumps(now, ensure_ascii=False, indent=0), encoding="utf-8")
        print(f"{outputs} kept in {kept}")
        return 0
    kept.with_name("now.json").write_text(json.dumps(now, ensure_ascii=False, indent=0), encoding="utf-8")
    before = kept.read_text(encoding="utf-8")
    for old, _, new in (words.partition("=") for words in reworded):
        before = before.replace(old, new)
    found = list(differences(json.loads(before), now))
    print(*found[:SHOWN_LINES], sep="\n")
    print(f"{outputs} compared, {len(found)} lines differ")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
