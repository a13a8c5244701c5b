"""Acts on a disk that is full, or whose calls fail: each says so in a sentence and has changed nothing, or is done."""

from __future__ import annotations

import os
import shutil
from collections import defaultdict
from dataclasses import dataclass, field
from pathlib import Path

from worst_acts import DELIVERED, NOON, Act, World
from worst_forking import Forker, Ran
from worst_kills import differences
from worst_orchard import State, databases_aside, drafts_in, records_in, state_of

STEP_BYTES = 4096
_PATIENCE = 3  # with so much more room after the first success, the rest of what it keeps has been tried


@dataclass
class Outcome:
    runs: int = 0
    refused: int = 0
    done: int = 0
    half: int = 0
    drafts: int = 0
    tracebacks: int = 0
    stuck: int = 0


@dataclass
class FailingDisk:
    """Runs acts on orchards in `place`, whose disk a test fills or whose calls it lets fail."""

    bases: dict[str, Path]
    forker: Forker
    place: Path
    counts: dict[str, Outcome] = field(default_factory=lambda: defaultdict(Outcome))
    wrong: list[str] = field(default_factory=list)

    def fill_for(self, act: Act, step: int = STEP_BYTES) -> None:
        """The act with no room, with a little, and so on until it has room enough."""
        room, enough = 0, 0
        while enough < _PATIENCE:
            status = self._one(act, f"{room // 1024} KB of room", room, {})
            enough += status == 0
            room += step
            assert room < 4_000_000, f"{act.name} wants more room than there is"

    def fail_each_call(self, act: Act, code: str, stays: bool, every: int = 1) -> None:
        """The act with its first writing call failing, with its second one, and so on."""
        world = self._laid_out(act)
        counted = self.forker.run(*self._words(act, world), fail_at=-1, code=code)
        assert counted.status == 0, (act.name, counted)
        for at in range(1, counted.steps + 1, every):
            how = {"fail_at": at, "code": code, "stays": stays}
            self._one(act, f"{code} at call {at} of {counted.steps}{' and after' if stays else ''}", None, how)

    def _laid_out(self, act: Act) -> World:
        world = World(self.place, self.forker, serial=7)
        world.reset(self.bases[act.base])
        shutil.rmtree(world.path / "begun", ignore_errors=True)
        (world.path / "begun").mkdir()
        act.before(world)
        return world

    @staticmethod
    def _words(act: Act, world: World) -> list[str]:
        words = act.words(world)
        return words if act.kind in ("begin", "watch") else [*world.where, *words]

    def _state(self, act: Act, world: World) -> State | None:
        if act.kind == "begin":
            there = Path(act.words(world)[1])
            return state_of(there) if (there / "site.toml").is_file() else None
        return state_of(world.orchard, *act.outputs(world))

    def _one(self, act: Act, how_words: str, room: int | None, how: dict[str, object]) -> int:
        world = self._laid_out(act)
        words = self._words(act, world)
        before = self._state(act, world)
        ballast = None if room is None else fill_up(self.place, room)
        ran = self.forker.run(*words, **how)
        if ballast is not None:
            ballast.unlink()
        now = self._state(act, world)
        count, where = self.counts[act.name], f"{act.name}, {how_words}"
        count.runs += 1
        count.done += ran.status == 0
        count.refused += ran.status != 0
        left = drafts_in(world.orchard, world.outside, world.path / "begun")
        if left:
            count.drafts += 1
            self._fault(f"{where}: left {[entry.name for entry in left]}")
        if act.kind != "watch":
            self._refusal_is_a_sentence(where, count, ran)
        elif "Traceback" in ran.err:
            count.tracebacks += 1
            self._fault(f"{where}: {ran.err[-600:]}")
        in_pieces = act.name.startswith("temps")  # each of its files is whole, old or new, and its sentence says which
        if ran.status and act.kind not in ("watch", "begin") and not in_pieces and now != before:
            count.half += 1
            self._fault(f"{where}: refused, and yet changed {_differ(now, before)}; it said {ran.err!r}")
        self._goes_on(where, act, world, ran, now)
        return ran.status

    def _refusal_is_a_sentence(self, where: str, count: Outcome, ran: Ran) -> None:
        is_sentence = ran.err.startswith("tendwork: ") and ran.err.count("\n") == 1 and ran.status == 1
        if "Traceback" in ran.err:
            count.tracebacks += 1
            self._fault(f"{where}: {ran.err[-600:]}")
        elif ran.status and not is_sentence:
            count.stuck += 1
            self._fault(f"{where}: exit {ran.status} with {ran.err!r}")

    def _goes_on(self, where: str, act: Act, world: World, ran: Ran, now: State | None) -> None:
        """With room again: what was done is all there, and what was refused can be done."""
        count, words = self.counts[act.name], self._words(act, world)
        if act.kind == "watch":
            again = self.forker.run("@look", str(world.orchard), NOON)
            came = (world.orchard / DELIVERED).read_text().count("came") if (world.orchard / DELIVERED).exists() else 0
            if again.status or came > 1:
                count.stuck += 1
                self._fault(f"{where}: the next look {again}, the sheet came {came} times")
            return
        if ran.status:
            again = self.forker.run(*words)
            if again.status:
                count.stuck += 1
                self._fault(f"{where}: with room again it says {again.err!r}")
                return
            now = self._state(act, world)
        if now != self._wanted(act):
            count.half += 1
            self._fault(f"{where}: exit 0 at last, but {_differ(now, self._wanted(act))} differ")
        folder = Path(act.words(world)[1]) if act.kind == "begin" else world.orchard
        check = self.forker.run("--orchard", str(folder), *world.where[2:], "check")
        copies = [file for file in databases_aside(folder) if "aside" not in str(file)]
        bad = [file.name for file in copies if records_in(file) == (None, ())]
        if check.status or bad:
            count.stuck += 1
            self._fault(f"{where}: check says {check.out!r} {check.err!r}; copies that cannot be read: {bad}")

    def _wanted(self, act: Act) -> State | None:
        """What the act makes of the orchard where nothing fails, found out once."""
        if not hasattr(self, "_known"):
            self._known: dict[str, State | None] = {}
        if act.name not in self._known:
            kept, self.place = self.place, self.place / "room"
            self.place.mkdir(exist_ok=True)
            world = self._laid_out(act)
            ran = self.forker.run(*self._words(act, world))
            assert ran.status == 0, (act.name, ran)
            self._known[act.name] = self._state(act, world)
            self.place = kept
            shutil.rmtree(kept / "room")
        return self._known[act.name]

    def _fault(self, what: str) -> None:
        self.wrong.append(what)
        print(what, flush=True)

    def table(self) -> str:
        names = ("runs", "refused", "done", "half", "drafts", "tracebacks", "stuck")
        rows: list[tuple[str, ...]] = [("act", *names)]
        rows += [(name, *(str(getattr(count, key)) for key in names)) for name, count in sorted(self.counts.items())]
        rows.append(("all", *(str(sum(getattr(count, key) for count in self.counts.values())) for key in names)))
        return "\n".join(f"{row[0]:28}" + "".join(f"{cell:>12}" for cell in row[1:]) for row in rows)


def fill_up(place: Path, room: int) -> Path:
    """A file that takes all but `room` bytes of a small disk."""
    ballast = place / "ballast"
    left = os.statvfs(place)
    with ballast.open("wb") as stream:
        taken = left.f_bavail * left.f_frsize - room
        if taken > 0:
            os.posix_fallocate(stream.fileno(), 0, taken)
    return ballast


def _differ(one: State | None, other: State | None) -> str:
    return "all of it" if one is None or other is None else differences(one, other)
