"""How many small faults put into the code the tests see: mutants of mutmut, each asked only of the tests that reach it.

    pip install -c .ci/constraints.txt mutmut==3.8.1
    python tests/mutants.py map                        # which test reaches which line: 10 minutes, after each commit
    python tests/mutants.py run --count 300 --seed 1   # a table, and .mutants/results-0.json with what survived

A function gives one mutant at most, chosen by the seed and its text, so that unchanged code gives the same one.
What it works on is a copy of what is committed, in `.mutants/`. Left out are the tests that start processes, and the
dashboard's; what only these reach counts as not reached.
"""

from __future__ import annotations

import argparse
import ast
import functools
import gc
import json
import os
import shutil
import signal
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest

HERE = Path(__file__).resolve().parent.parent
PLACE = Path(os.environ.get("MUTANTS_PLACE", HERE / ".mutants"))
PACKAGES = ("almanac", "orchard", "planning", "view", "weather/readers", "folder")
TESTS = ("almanac", "orchard", "planning", "published", "view", "weather", "folder", "outputs", "daily", "watch")
LEFT_OUT = (
    "windows_like no_network imports import_contracts guides lowest_versions retired_words forking records_kill"
    " records_many_processes"
)
STARTS_PROCESSES = {"run", "commands", "run_alone"}
QUICKEST, LONGEST_S = 40, 90.0


def tree(name: str) -> Path:
    """A fresh copy of what is committed."""
    folder = PLACE / name
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    archive = subprocess.run(["git", "-C", str(HERE), "archive", "HEAD"], check=True, capture_output=True).stdout
    subprocess.run(["tar", "x", "-C", str(folder)], input=archive, check=True)
    return folder


def enter(folder: Path) -> None:
    """Let this process, and those that it starts, take tendwork from a tree."""
    os.chdir(folder)
    sys.path.insert(0, str(folder))
    os.environ["PYTHONPATH"] = str(folder)


class Mapping:
    """A pytest plugin: a coverage context for each test and phase, caches emptied before each file, and times."""

    def __init__(self, measured: Any) -> None:
        self.measured = measured
        self.seconds: dict[str, float] = {}
        self.failed: set[str] = set()
        self._file: Path | None = None
        self._caches: list[Any] = []

    @pytest.hookimpl(tryfirst=True)
    def pytest_collection_finish(self) -> None:
        self._caches = [kept for kept in gc.get_objects() if isinstance(kept, functools._lru_cache_wrapper)]

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        items[:] = [item for item in items if not STARTS_PROCESSES & {*getattr(item, "fixturenames", ())}]

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        if item.path != self._file:
            self._file = item.path
            making: Any = sys.modules.get("tendwork.workbench.plan_making")
            for kept in (*self._caches, getattr(making, "Almanac", None)):
                getattr(kept, "cache_clear", int)()
        began = time.perf_counter()
        result = yield
        self.seconds[item.nodeid] = time.perf_counter() - began
        return result

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_setup(self, item: pytest.Item) -> Iterator[None]:
        self.measured.switch_context(f"{item.nodeid}|setup")
        return (yield)

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_call(self, item: pytest.Item) -> Iterator[None]:
        self.measured.switch_context(f"{item.nodeid}|run")
        return (yield)

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.failed:
            self.failed.add(report.nodeid)


def make_map() -> None:
    """Run the tests once under coverage."""
    import coverage

    for kept in PLACE.glob("mutants-*.json"):
        kept.unlink()
    enter(tree("tree"))
    measured = coverage.Coverage(source_pkgs=["tendwork"], data_file=str(PLACE / "map.cov"), config_file=False)
    mapping = Mapping(measured)
    files = [file for name in TESTS for file in sorted(Path("tests", name).glob("test_*.py"))]
    files += sorted(Path("tests").glob("test_*.py"))
    chosen = [str(file) for file in files if file.stem.removeprefix("test_") not in LEFT_OUT.split()]
    measured.start()
    pytest.main([*chosen, "-p", "no:cacheprovider", "--hypothesis-seed=0"], plugins=[mapping])
    measured.stop()
    measured.save()
    times = {"seconds": mapping.seconds, "failed": sorted(mapping.failed)}
    (PLACE / "times.json").write_text(json.dumps(times))


def reached() -> tuple[dict[str, dict[int, set[str]]], dict[str, float]]:
    """The tests that reach each line of each file, and how long each test takes."""
    import coverage

    times = json.loads((PLACE / "times.json").read_text())
    seconds = {test: took for test, took in times["seconds"].items() if test not in times["failed"]}
    of_file: dict[str, set[str]] = {}
    for test in seconds:
        of_file.setdefault(test.split("::")[0], set()).add(test)
    data = coverage.CoverageData(str(PLACE / "map.cov"))
    data.read()
    lines: dict[str, dict[int, set[str]]] = {}
    for file in data.measured_files():
        here = lines.setdefault("tendwork/" + file.rpartition("/tendwork/")[2], {})
        for line, contexts in data.contexts_by_lineno(file).items():
            tests = here.setdefault(line, set())
            for context in contexts:
                test, _, phase = context.rpartition("|")
                if phase == "setup":  # a fixture may be made once for all tests of a file
                    tests |= of_file.get(test.split("::")[0], set())
                elif test in seconds:
                    tests.add(test)
    return lines, seconds


def equal_by_rule(node: ast.AST) -> bool:
    """Whether what is changed within a node cannot change what the program does."""
    match node:
        case ast.Assert():
            return True
        case ast.Expr(value=ast.Constant()):
            return True
        case ast.Call(func=ast.Name(id="cast" | "assert_never")):
            return True
        case ast.Call(keywords=keywords):
            return any(word.arg in {"strict", "encoding"} for word in keywords)
        case ast.AnnAssign(value=None):
            return True
    return False


def statement_lines(parsed: ast.Module, line: int) -> tuple[set[int], bool]:
    """The lines of the innermost statement around a line, without its body; and whether a rule leaves it out."""
    best: ast.stmt | None = None
    for node in ast.walk(parsed):
        if isinstance(node, ast.stmt) and node.lineno <= line <= (node.end_lineno or node.lineno):
            best = node if best is None or node.lineno >= best.lineno else best
    assert best is not None
    body = getattr(best, "body", None) or getattr(best, "cases", None)
    end = best.end_lineno or best.lineno
    if body:
        end = min(end, max(best.lineno, getattr(body[0], "lineno", best.lineno + 1) - 1))
    return {*range(best.lineno, end + 1)}, equal_by_rule(best)


def mutants_of(file: Path, root: Path) -> Iterator[dict[str, Any]]:
    """Every mutant that mutmut makes within the functions of a file."""
    import libcst
    from libcst.metadata import MetadataWrapper, PositionProvider
    from mutmut.mutation.file_mutation import MutationVisitor
    from mutmut.mutation.mutators import mutation_operators
    from mutmut.mutation.pragma_handling import IgnoredCode

    source = file.read_text(encoding="utf-8")
    wrapper = MetadataWrapper(libcst.parse_module(source))
    visitor = MutationVisitor(mutation_operators, IgnoredCode(set(), set(), set()))
    module = wrapper.visit(visitor)
    places = wrapper.resolve(PositionProvider)
    parsed = ast.parse(source)
    calls = [node for node in ast.walk(parsed) if isinstance(node, ast.Call) and equal_by_rule(node)]
    names = {
        node.lineno: f"{above.name}.{node.name}"
        for above in ast.walk(parsed)
        if isinstance(above, ast.ClassDef)
        for node in above.body
        if isinstance(node, ast.FunctionDef)
    }
    for mutation in visitor.mutations:
        function = mutation.contained_by_top_level_function
        if not isinstance(function, libcst.FunctionDef):
            continue
        place = places[mutation.original_node]
        lines, ruled_out = statement_lines(parsed, place.start.line)
        at = (place.start.line, place.start.column)
        if ruled_out or any(
            (call.lineno, call.col_offset) <= at < (call.end_lineno or 0, call.end_col_offset or 0) for call in calls
        ):
            continue
        first = places[function].start.line
        was, now = (module.code_for_node(node) for node in (mutation.original_node, mutation.mutated_node))
        yield {
            "file": str(file.relative_to(root)),
            "function": names.get(first, function.name.value),
            "first": first,
            "line": place.start.line,
            "lines": sorted(lines),
            "kind": type(mutation.original_node).__name__,
            "was": was,
            "now": now,
            "make": (module, mutation),
        }


def chosen_mutants(root: Path, count: int, seed: int) -> list[dict[str, Any]]:
    """As many mutants of each package as it has lines of the whole, one a function, those first that the seed says."""

    def lot(*words: str) -> str:
        return sha256("\0".join((str(seed), *words)).encode()).hexdigest()

    files = {package: sorted((root / "tendwork" / package).rglob("*.py")) for package in PACKAGES}
    lengths = {
        package: sum(len(file.read_text(encoding="utf-8").splitlines()) for file in files[package])
        for package in PACKAGES
    }
    chosen: list[dict[str, Any]] = []
    for package in PACKAGES:
        share = round(count * lengths[package] / sum(lengths.values()))
        functions: dict[tuple[str, int], list[dict[str, Any]]] = {}
        for file in files[package]:
            for mutant in mutants_of(file, root):
                functions.setdefault((mutant["file"], mutant["first"]), []).append(mutant)
        taken = 0
        for mutants in sorted(functions.values(), key=lambda of: lot(of[0]["function"])):
            if taken == share:
                break
            kinds = {mutant["kind"] for mutant in mutants}
            kind = min(kinds, key=lambda kind: lot(mutants[0]["function"], kind))  # so that no kind has all the places
            for mutant in sorted(
                (mutant for mutant in mutants if mutant["kind"] == kind),
                key=lambda mutant: lot(mutant["function"], mutant["was"], mutant["now"]),
            ):
                module, mutation = mutant.pop("make")
                code = module.deep_replace(mutation.original_node, mutation.mutated_node).code
                if ast.dump(ast.parse(code)) != ast.dump(ast.parse(module.code)):
                    chosen.append({**mutant, "package": package, "code": code})
                    taken += 1
                    break
    return sorted(chosen, key=lambda mutant: lot(mutant["package"], mutant["function"]))


class Asking:
    """A pytest plugin: only the tests that are asked, in their order, each with a time to answer in."""

    def __init__(self, order: list[str], seconds: dict[str, float], said: int) -> None:
        self._said = said
        self._at = {test: at for at, test in enumerate(order)}
        self._seconds = seconds
        self._began = time.monotonic()
        self.verdict = "survived"
        self.by = ""

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        items[:] = sorted((item for item in items if item.nodeid in self._at), key=lambda item: self._at[item.nodeid])

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        if self._at[item.nodeid] >= QUICKEST and time.monotonic() - self._began > LONGEST_S:
            pytest.exit("enough", 0)
        self.by = item.nodeid
        signal.signal(signal.SIGALRM, self._hangs)
        signal.alarm(20 + int(10 * self._seconds.get(item.nodeid, 5.0)))
        return (yield)

    def _hangs(self, *_: object) -> None:
        self.verdict, self.by = "killed", f"{self.by} (time)"
        self.answer()
        os._exit(0)

    def answer(self) -> None:
        os.write(self._said, json.dumps([self.verdict, self.by]).encode())

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.failed:
            self.verdict = "killed"

    def pytest_collectreport(self, report: pytest.CollectReport) -> None:
        if report.failed:
            self.verdict, self.by = "killed", report.nodeid


def ask(tests: list[str], seconds: dict[str, float]) -> list[str]:
    """Run tests in a child that has pytest imported already: killed or survived, and by which test."""
    answer, said = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            nowhere = os.open(os.devnull, os.O_WRONLY)
            os.dup2(nowhere, 1)
            os.dup2(nowhere, 2)
            asking = Asking(tests, seconds, said)
            files = [*dict.fromkeys(test.split("::")[0] for test in tests)]
            pytest.main([*files, "-x", "-p", "no:cacheprovider", "--hypothesis-seed=0"], plugins=[asking])
            asking.answer()
        finally:
            os._exit(0)
    os.close(said)
    with os.fdopen(answer) as stream:
        words = stream.read()
    os.waitpid(child, 0)
    return [str(word) for word in json.loads(words)] if words else ["killed", "the run itself ended"]


def run(count: int, seed: int, part: int, parts: int) -> None:
    """Ask every mutant; several runs may each take a part."""
    lines, seconds = reached()
    root = tree(f"asked-{part}")
    kept = PLACE / f"mutants-{count}-{seed}.json"
    if not kept.exists():
        kept.write_text(json.dumps(chosen_mutants(root, count, seed)))
    mutants = json.loads(kept.read_text())[part::parts]
    enter(root)
    collecting = [sys.executable, "-m", "pytest", "--collect-only", "-p", "no:cacheprovider"]
    subprocess.run(collecting, stdout=subprocess.DEVNULL, check=False)  # makes the bytecode of all tests
    sys.dont_write_bytecode = True
    os.environ["PYTHONDONTWRITEBYTECODE"] = "1"
    for name in ("hypothesis", "httpx", "icalendar", "jinja2", "msgspec", "pendulum", "click.testing", "textual.app"):
        __import__(name)
    results = []
    for number, mutant in enumerate(mutants):
        at_line = lines.get(mutant["file"], {})
        tests: set[str] = set().union(*(at_line.get(line, set()) for line in mutant["lines"]))
        order = sorted(tests, key=lambda test: seconds[test])
        if mutant["package"] == "almanac":  # kept from test to test, so that not all that use it reach it
            files = {test.split("::")[0] for test in tests}
            order += sorted({test for test in seconds if test.split("::")[0] in files} - tests, key=seconds.__getitem__)
        file = root / mutant["file"]
        source, stands = file.read_text(encoding="utf-8"), file.stat()
        began = time.monotonic()
        if order:
            file.write_text(mutant.pop("code"), encoding="utf-8")
            os.utime(file, (stands.st_atime, stands.st_mtime + 100 + number))  # kept bytecode is not taken for it
            verdict, by = ask(order, seconds)
            file.write_text(source, encoding="utf-8")
            os.utime(file, (stands.st_atime, stands.st_mtime))
        else:
            verdict, by = "not reached", ""
        mutant.pop("code", None)
        took_s = time.monotonic() - began
        results.append({**mutant, "verdict": verdict, "by": by, "tests": len(tests), "took_s": took_s})
        (PLACE / f"results-{part}.json").write_text(json.dumps(results, indent=1))
    table(results)


def table(results: list[dict[str, Any]]) -> None:
    """Print what came of it by package."""
    counts = Counter((result["package"], result["verdict"]) for result in results)
    for package in PACKAGES:
        of = {verdict: counts[package, verdict] for verdict in ("killed", "survived", "not reached")}
        print(f"{package:16} {of['killed']:4} of {sum(of.values()):4} killed, {of['not reached']} not reached")


if __name__ == "__main__":
    parser = argparse.ArgumentParser()
    parser.add_argument("what", choices=("map", "run", "list"))
    parser.add_argument("--count", type=int, default=300)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--part", type=int, default=0)
    parser.add_argument("--parts", type=int, default=1)
    asked = parser.parse_args()
    PLACE.mkdir(exist_ok=True)
    if asked.what == "map":
        make_map()
    elif asked.what == "list":
        for m in chosen_mutants(HERE, asked.count, asked.seed):
            print(m["package"], m["file"], m["function"], m["line"], repr(m["was"][:60]), "->", repr(m["now"][:60]))
    else:
        run(asked.count, asked.seed, asked.part, asked.parts)
