"""Kills one act after another at a random moment, and says of each what stands afterwards."""

from __future__ import annotations

import random
import subprocess
import sys
import time
from collections import defaultdict
from dataclasses import dataclass, field
from pathlib import Path

from worst_acts import ACTS, DELIVERED, NOON, Act, World, vary_copies
from worst_forking import KILLED, Forker, Ran, job
from worst_orchard import (
    State,
    databases_aside,
    is_kept_somewhere,
    records_in,
    refuse_half_files,
    state_of,
)

_CHAIN = 8  # acts upon one another in the same folder before it is laid out new
_REAL_SHARE = 0.07
_PROBE = ("spray", "t1", "probe", "--on", "2026-01-05")


@dataclass
class Count:
    kills: int = 0
    ended: int = 0
    acknowledged: int = 0
    found: int = 0
    half: int = 0
    tracebacks: int = 0
    lost: int = 0
    stuck: int = 0


@dataclass
class Kills:
    """A run of kills. What went wrong stands in `wrong`, each with the act and the moment of the kill."""

    bases: dict[str, Path]
    forker: Forker
    place: Path
    seed: int
    counts: dict[str, Count] = field(default_factory=lambda: defaultdict(Count))
    wrong: list[str] = field(default_factory=list)
    trial: int = 0
    moment: str = ""

    def __post_init__(self) -> None:
        self.chance = random.Random(self.seed)
        self.world = World(self.place, self.forker)
        self.place.mkdir(parents=True, exist_ok=True)
        self._chain = 0
        self._base = ""
        self._real_s = 0.6

    def run(self, kills: int, only: tuple[str, ...] = (), real: bool = True) -> None:
        """So many acts in turn, each killed unless it ends before."""
        acts = [act for act in ACTS if not only or act.name in only]
        start = self.chance.randrange(len(acts))
        for turn in range(kills):
            self.trial += 1
            self.one(acts[(start + turn) % len(acts)], real and self.chance.random() < _REAL_SHARE)

    def one(self, act: Act, real: bool) -> None:
        world = self.world
        world.serial += 1
        if self._chain == 0 or self._base != act.base or act.kind in ("restore", "watch"):
            world.reset(self.bases[act.base])
            self._chain, self._base = _CHAIN, act.base
        self._chain -= 1
        act.before(world)
        if act.kind != "restore":
            vary_copies(world, self.chance)
        handler = {"restore": self._restore, "begin": self._begin, "watch": self._watch, "six": self._six}
        handler.get(act.kind, self._plain)(act, real)
        if act.moves_buds or act.kind in ("restore", "watch", "six"):
            self._chain = 0

    def _plain(self, act: Act, real: bool) -> None:
        world, outputs = self.world, act.outputs(self.world)
        before = state_of(world.orchard, *outputs)
        twin = world.twin()
        length, steps = self._rehearsed(act, twin)
        after = state_of(twin.orchard, *act.outputs(twin))
        if act.moves_buds:
            self.forker.warm([*twin.where, "week"], [*twin.where, "check"])
        ran = self._killed(act, [*world.where, *act.words(world)], length, steps, real)
        now = state_of(world.orchard, *outputs)
        count, acknowledged = self.counts[act.name], _is_acknowledged(act, ran)
        self._note(act, ran, acknowledged, now == after)
        if acknowledged and now != after:
            count.lost += 1
            self._fault(act, f"acknowledged, but not there: {differences(now, after)}")
        elif not _is_between(now, before, after, act.pieces):
            count.half += 1
            self._fault(act, f"half there: {differences(now, before)} against before, {differences(now, after)} after")
        self._look_over(act, outputs)
        if act.pieces and now != after and act.name != "give":
            again = self.forker.run(*world.where, *act.words(world))
            if again.status or state_of(world.orchard).files != after.files:
                self._fault(
                    act, f"done again after the kill: {again.err} {differences(state_of(world.orchard), after)}"
                )

    def _restore(self, act: Act, real: bool) -> None:
        world = self.world
        records = world.orchard / "records.db"
        bytes_before = records.read_bytes() if records.is_file() else b""
        before = records_in(records)
        twin = world.twin()
        length, steps = self._rehearsed(act, twin)
        after = records_in(twin.orchard / "records.db")
        ran = self._killed(act, [*world.where, *act.words(world)], length, steps, real)
        now, acknowledged = records_in(records), _is_acknowledged(act, ran)
        self._note(act, ran, acknowledged, now == after)
        count = self.counts[act.name]
        if acknowledged and now != after:
            count.lost += 1
            what = "records that cannot be read" if now == (None, ()) else "neither the old records nor the copy"
            self._fault(act, f"acknowledged ({ran.status} {ran.out!r}), but what stands there is {what}")
        if now not in (before, after) and now != (None, ()):
            count.half += 1
            self._fault(act, "neither the old records nor the copy stand there")
        if now == (None, ()):
            week = self.forker.run(*world.where, "week")
            if week.status and "tendwork restore" not in week.err:
                self._stuck(act, f"`week` does not say what to do: {week.err}{week.out[:200]}")
            if week.status:
                remedy = self.forker.run(*world.where, "restore")
                if remedy.status:
                    self._stuck(act, f"`restore` does not work: {remedy.err}")
            healed = records_in(records)
            copies = [records_in(file) for file in databases_aside(world.orchard)]
            if healed == (None, ()) or healed not in (after, before, *copies):
                self._stuck(act, "the remedy does not bring the records back")
        kept = before == (None, ()) or is_kept_somewhere(world.orchard, *before)
        kept = kept and (before != (None, ()) or not bytes_before or _are_kept(world.orchard, bytes_before))
        if not kept:
            count.lost += 1
            self._fault(act, "what stood there is neither in the records nor in anything set aside")
        self._look_over(act, [])

    def _begin(self, act: Act, real: bool) -> None:
        world, words = self.world, act.words(self.world)
        twin = World(world.path / "twin", self.forker, serial=world.serial)
        (twin.path / "begun").mkdir(parents=True, exist_ok=True)
        length, steps = self._rehearsed(act, twin)
        whole = state_of(Path(act.words(twin)[1]))
        (world.path / "begun").mkdir(exist_ok=True)
        ran = self._killed(act, words, length, steps, real)
        place = Path(words[1])
        acknowledged = _is_acknowledged(act, ran)
        there = place.is_dir() and (place / "site.toml").is_file() and state_of(place) == whole
        self._note(act, ran, acknowledged, there)
        if acknowledged and not there:
            self.counts[act.name].lost += 1
            self._fault(act, "acknowledged, but not whole")
        where = ["--orchard", str(place), *world.where[2:]]
        if self.forker.run(*where, "week").status:
            again = self.forker.run(*words)
            if again.status:
                self._stuck(act, f"`week` does not work, and neither does `begin` again: {again.err}")
        over = self.forker.run_in_turn([*where, "check"], [*where, "week"])
        if [part.status for part in over.parts()] != [0, 0]:
            self._stuck(act, f"afterwards: {over.err}{over.out[:300]}")
        if state_of(place) != whole:
            self._fault(act, f"begun otherwise than without a kill: {differences(state_of(place), whole)}")

    def _watch(self, act: Act, real: bool) -> None:
        world = self.world
        before = state_of(world.orchard)
        twin = world.twin()
        length, steps = self._rehearsed(act, twin)
        sheet = (twin.orchard / "sheet.txt").read_bytes()
        assert (twin.orchard / DELIVERED).read_text() == "came\n"
        ran = self._killed(act, act.words(world), length, steps, False)
        del real
        done = ran.status == 0
        self._note(act, ran, done, (world.orchard / DELIVERED).exists())
        if state_of(world.orchard) != before:
            self.counts[act.name].half += 1
            self._fault(act, f"a watch changed {differences(state_of(world.orchard), before)}")
        if (world.orchard / "sheet.txt").exists() and (world.orchard / "sheet.txt").read_bytes() != sheet:
            self.counts[act.name].half += 1
            self._fault(act, "half a sheet")
        again = self.forker.run("@look", str(world.orchard), NOON)
        if again.status or "Traceback" in again.err:
            self._stuck(act, f"the next look: {again.err}")
        once_more = self.forker.run("@look", str(world.orchard), NOON)
        if once_more.out or once_more.status:
            self._stuck(act, f"a look with nothing to do: {once_more.out}{once_more.err}")
        came = (world.orchard / DELIVERED).read_text().count("came") if (world.orchard / DELIVERED).exists() else 0
        if came > 1 or (came == 0 and "broken off" not in again.out):
            self._fault(act, f"the sheet came {came} times; the next look said {again.out!r}")
        self._look_over(act, [])

    def _six(self, act: Act, real: bool) -> None:
        """Six acts one after another in one process: those said to be done are there, and no more than one besides."""
        del real
        world = self.world
        words = [["trouble", "t1", "t2", f"six {world.serial} {at}", "--on", "2026-05-03"] for at in range(6)]
        lines = [[*world.where, *line] for line in words]
        start = self.chance.random()
        ran = self.forker.run_in_turn(*lines, kill_after_s=start * 0.12)
        self.moment = f"{start * 0.12:.4f} s"
        said = sum(part.out.count(" seen on ") for part in ran.parts())
        records, _ = records_in(world.orchard / "records.db")
        notes = (
            [] if records is None else [sign.what for sign in records.troubles if f"six {world.serial} " in sign.what]
        )
        there = [notes.count(f"six {world.serial} {at}") for at in range(6)]
        self._note(act, ran, said > 0, sum(there) >= 2 * said)
        if sorted(there, reverse=True) != there or set(there) - {0, 2} or not said <= sum(there) / 2 <= said + 1:
            self.counts[act.name].half += 1
            self._fault(act, f"{said} were acknowledged, and of each of the six there are {there}")
        self._look_over(act, [])

    def _rehearsed(self, act: Act, twin: World) -> tuple[float, int]:
        """How long the act takes and how many steps it has, where nobody kills it."""
        words = act.words(twin) if act.kind in ("begin", "watch") else [*twin.where, *act.words(twin)]
        begun = time.monotonic()
        ran = self.forker.run(*words, steps=True)
        assert ran.status == 0, (act.name, ran)
        return time.monotonic() - begun, ran.steps

    def _killed(self, act: Act, words: list[str], length: float, steps: int, real: bool) -> Ran:
        if real and act.kind != "watch":
            after = self.chance.random() * self._real_s * 1.3
            self.moment = f"python -m tendwork, {after:.3f} s"
            return self._real(words, after)
        if self.chance.random() < 0.5:
            after = self.chance.random() * length * 1.1
            self.moment = f"{after:.4f} of {length:.4f} s"
            return self.forker.run(*words, kill_after_s=after)
        step = self.chance.randint(1, max(1, steps))
        self.moment = f"before step {step} of {steps}"
        return self.forker.together(job(words, steps=True, die_at=step))[0]

    def _real(self, words: list[str], after_s: float) -> Ran:
        process = subprocess.Popen(
            [sys.executable, "-m", "tendwork", *words],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            env=self.forker.environment,
        )
        begun = time.monotonic()
        try:
            out, err = process.communicate(timeout=after_s)
            self._real_s = time.monotonic() - begun
        except subprocess.TimeoutExpired:
            process.kill()
            out, err = process.communicate()
            if process.returncode == KILLED:
                self._real_s = max(self._real_s, time.monotonic() - begun)
        return Ran(process.returncode, out, err)

    def _note(self, act: Act, ran: Ran, acknowledged: bool, found: bool) -> None:
        count = self.counts[act.name]
        count.kills += ran.was_killed
        count.ended += not ran.was_killed
        count.acknowledged += acknowledged
        count.found += found
        if "Traceback" in ran.err:
            count.tracebacks += 1
            self._fault(act, f"a traceback: {ran.err[-600:]}")
        elif ran.status not in (0, KILLED):
            self._fault(act, f"was refused: {ran.err[-400:]}")

    def _look_over(self, act: Act, outputs: list[Path]) -> None:
        """The folder is sound, and goes on: check, week, one more act, and that act undone."""
        world = self.world
        before = state_of(world.orchard, *outputs)
        lines = [[*world.where, *words] for words in (("check",), ("week",), _PROBE, ("undo",))]
        over = self.forker.run_in_turn(*lines)
        self.counts[act.name].tracebacks += "Traceback" in over.err
        if [part.status for part in over.parts()] != [0, 0, 0, 0] or "Traceback" in over.err:
            self._stuck(act, f"afterwards: {over.err[-400:]} {over.out[-200:]}")
            self._chain = 0
            return
        try:
            refuse_half_files(world.orchard)
        except Exception as error:
            self.counts[act.name].half += 1
            self._fault(act, f"half a file: {error}")
        after = state_of(world.orchard, *outputs)
        if (after.records, after.files) != (before.records, before.files):
            self._fault(act, f"check, week, an act and undo changed {differences(after, before)}")

    def _stuck(self, act: Act, what: str) -> None:
        self.counts[act.name].stuck += 1
        self._fault(act, what)

    def _fault(self, act: Act, what: str) -> None:
        self.wrong.append(f"seed {self.seed}, trial {self.trial}: {act.name}, killed at {self.moment}: {what}")
        print(self.wrong[-1], flush=True)

    def table(self) -> str:
        """Counts by act, and their sum."""
        names = ("kills", "ended", "acknowledged", "found", "half", "lost", "stuck", "tracebacks")
        rows: list[tuple[str, ...]] = [("act", *names)]
        rows += [(name, *(str(getattr(count, key)) for key in names)) for name, count in sorted(self.counts.items())]
        rows.append(("all", *(str(sum(getattr(count, key) for count in self.counts.values())) for key in names)))
        return "\n".join(f"{row[0]:28}" + "".join(f"{cell:>14}" for cell in row[1:]) for row in rows)


def differences(one: State, other: State) -> str:
    """What two states do not have in common, in brief."""
    said = []
    if one.records != other.records:
        kinds = () if one.records is None or other.records is None else one.records.__struct_fields__
        parts = [f"{kind}: {set(getattr(one.records, kind)) ^ set(getattr(other.records, kind))}" for kind in kinds
                 if getattr(one.records, kind) != getattr(other.records, kind)]  # fmt: skip
        said.append(f"records ({'; '.join(parts) or 'not to be read'})"[:500])
    if one.acts != other.acts:
        said.append(f"acts ({len(one.acts)} and {len(other.acts)})")
    said += [name for name in sorted({*one.files, *other.files}) if one.files.get(name) != other.files.get(name)]
    return ", ".join(said) or "nothing"


def _is_acknowledged(act: Act, ran: Ran) -> bool:
    """Whether the person was told that it is done: by the exit status, or by a whole line before the kill."""
    if ran.status == 0:
        return True
    lines = [line for line in ran.out.splitlines(keepends=True) if line.endswith("\n")]
    return act.name not in ("week",) and any(line.startswith(act.said) for line in lines)


def _is_between(now: State, before: State, after: State, pieces: bool) -> bool:
    """Whether all is as before or all as after; of `pieces`, each file by itself."""
    if now in (before, after):
        return True
    if not pieces or (now.records, now.acts) not in ((before.records, before.acts), (after.records, after.acts)):
        return False
    none = "none"
    return all(
        now.files.get(name, none) in (before.files.get(name, none), after.files.get(name, none))
        for name in {*now.files, *before.files, *after.files}
    )


def _are_kept(folder: Path, content: bytes) -> bool:
    return any(file.is_file() and file.read_bytes() == content for file in folder.rglob("*"))
