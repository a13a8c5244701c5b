"""Files that are well formed and whose values are not: right keys with any value, in TOML and CSV."""

from __future__ import annotations

from collections.abc import Callable
from random import Random
from typing import Any

import pytest
import tomli_w
from fuzz_ground import FuzzGround, assert_inert
from fuzz_targets import TARGETS
from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis import strategies as st
from nasty_values import DAYS, NUMBERS, TEXTS, WORDS
from test_fuzzed_files import SEED

from tendwork.errors import PersonError
from tendwork.folder.fields import KINDS, Field, Form
from tendwork.orchard.records import RecordKind
from tendwork.planning.adjustments import Adjustment, SiteShift
from tendwork.species import SPECIES

CASES, FEW = 1_000, 15
Values = st.SearchStrategy[Any]

_numbers = st.one_of(st.integers(-5, 400), st.floats(-100, 100), st.integers(-(2**63), 2**63 - 1), st.floats())
_texts = st.one_of(
    st.sampled_from(DAYS + WORDS + TEXTS),
    st.text(st.characters(exclude_categories=["Cs"]), max_size=20),
    st.dates().map(lambda day: f"{day:%m-%d}"),
)
_anything = st.recursive(
    st.one_of(_numbers, _texts, st.booleans(), st.dates(), st.times()),
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(_texts, inner, max_size=2)),
    max_leaves=4,
)
_species = st.sampled_from(SPECIES)


def _now_and_then(value: Values) -> Callable[[int], Values]:
    """Anything at all instead of `value`, once in a while."""
    return lambda chance: _anything if chance == 0 else value


def table(known: dict[str, Values], required: tuple[str, ...] = ()) -> Values:
    """A table of known keys, most with values of their kind and now and then one with anything at all."""
    values = {key: st.integers(0, 12).flatmap(_now_and_then(value)) for key, value in known.items()}
    optional = {key: value for key, value in values.items() if key not in required}
    return st.fixed_dictionaries({key: values[key] for key in required}, optional=optional)


def _months(low: float) -> st.SearchStrategy[list[float]]:
    return st.lists(st.floats(low, low + 10), min_size=12, max_size=12)


_site = table(
    {
        "name": _texts,
        "timezone": st.sampled_from(("Europe/London", "UTC", "Pacific/Kiritimati", "Etc/GMT+12")),
        "latitude": st.floats(-90, 90),
        "longitude": st.floats(-180, 180),
        "elevation_m": _numbers,
        "units": st.sampled_from(("metric", "us")),
        "reach_m": _numbers,
        "hours": st.dictionaries(st.sampled_from(("monday", "sunday")), _numbers),
        "normals": st.fixed_dictionaries({"minimum_c": _months(-40), "maximum_c": _months(-25)}),
        "usual_dates": st.dictionaries(
            _species, st.dictionaries(st.sampled_from(WORDS), _texts, max_size=2), max_size=2
        ),
        "colder_by": st.dictionaries(st.sampled_from(("degrees_c", "elevation_m", "days")), _numbers, max_size=2),
        "temperatures": st.lists(st.dictionaries(st.sampled_from(("file", "service", "units")), _texts), max_size=2),
        "remind": table({"at": _texts, "command": st.lists(_texts), "calendar_file": _texts}),
    },
    ("name", "timezone", "latitude", "longitude"),
)
_anchor_of_one = table(
    {
        "date": st.dates().map(lambda day: f"{day:%m-%d}"),
        "stage": st.sampled_from(("full bloom", "green tip", "leaf fall", "no such stage")),
        "after": st.sampled_from(("set", "took", "cut", "planted", "tasted", "ripens")),
        "days": st.integers(-1000, 1000),
        "weeks": st.integers(-150, 150),
        "heat": st.floats(0, 10000),
    }
)
_anchor = st.one_of(
    st.builds(
        lambda day, more: {"date": f"{day:%m-%d}", **more}, st.dates(), table({"days": st.integers(-1000, 1000)})
    ),
    _anchor_of_one,
    st.builds(
        lambda key, parts: {key: parts},
        st.sampled_from(("latest_of", "earliest_of", "first_known")),
        st.lists(_anchor_of_one),
    ),
)
_where = table(
    {"species": st.lists(_species), "age_years": st.tuples(st.integers(), st.integers()), "above_m": _numbers}
)
_repeats = table({"every_days": st.integers(1, 1000), "times": st.integers(1, 100), "until": _anchor}, ("every_days",))
_weather = table(
    {
        "dry": st.booleans(),
        "min_c": _numbers,
        "max_c": _numbers,
        "frost_free_nights": st.integers(0, 60),
        "frost_c": _numbers,
    }
)
_template = table(
    {
        "id": st.sampled_from(("own-job", "check-take")),
        "title": _texts,
        "part": st.just("upkeep"),
        "each": st.sampled_from(("site", "tree", "graft", "wood", "variety")),
        "opens": _anchor,
        "closes": _anchor,
        "best": _anchor,
        "lapses": _anchor,
        "where": _where,
        "repeats": _repeats,
        "weather": _weather,
        "effort": table(
            {
                "setup_minutes": _numbers,
                "minutes_each": _numbers,
                "minutes_by_size": st.lists(_numbers, min_size=2, max_size=4),
            }
        ),
        "steps": st.lists(_texts, max_size=2),
        "outcomes": st.lists(_texts, min_size=1, max_size=3),
        "note": _texts,
    },
    ("id", "title", "part", "each", "opens", "closes"),
)
_adjustments = table(
    {
        "site": table(dict.fromkeys(SiteShift.__struct_fields__, _numbers)),
        "template": st.dictionaries(
            st.sampled_from(("check-take", "check-wood", "thin-fruit", "gone")),
            table({key: _numbers for key in Adjustment.__struct_fields__ if key not in ("off", "species", "dry")}),
        ),
    }
)


def _toml(document: dict[str, Any]) -> bytes:
    return tomli_w.dumps(document).encode("utf-8", "replace")


_CELLS = {
    Form.REFERENCE: ("t1", "g1"),
    Form.SPECIES: SPECIES,
    Form.STAGE: ("green tip", "full bloom"),
    Form.DATE: ("2026-04-10", "1600-01-01", "2200-12-31", "2024-02-29"),
    Form.MONTH_DAY: ("09-01", "02-29", "12-31"),
    Form.YEAR: ("1990", "2025"),
    Form.WHOLE: ("1", "3", "1990", "5"),
    Form.NUMBER: ("0", "2.5", "30"),
    Form.FLAG: ("yes", ""),
}


def _cell(field: Field) -> st.SearchStrategy[str]:
    """A cell that the column can hold, and now and then any."""
    likely = st.sampled_from(field.choices or _CELLS.get(field.form, TEXTS))
    anything = st.one_of(st.sampled_from(DAYS + NUMBERS), _texts)
    cell = st.integers(0, 30).flatmap(lambda chance: anything if chance == 0 else likely)
    return cell.map(lambda text: '"' + text.replace('"', '""') + '"')


def _rows_of(kind: RecordKind) -> st.SearchStrategy[bytes]:
    """A file of the right columns: cells that the column can hold, or any."""
    columns = [field.column for field in KINDS[kind].fields]
    rows = st.lists(st.tuples(*map(_cell, KINDS[kind].fields)), max_size=2)
    return rows.map(lambda rows: "\n".join([",".join(row) for row in [columns, *rows]]).encode("utf-8", "replace"))


STRUCTURES: dict[str, st.SearchStrategy[tuple[str, bytes]]] = {
    "site": _site.map(lambda document: ("site", _toml(document))),
    "templates": st.lists(_template, max_size=2).map(lambda held: ("templates", _toml({"template": held}))),
    "adjustments": _adjustments.map(lambda document: ("adjustments", _toml(document))),
    "csv": st.sampled_from(tuple(KINDS)).flatmap(lambda kind: _rows_of(kind).map(lambda content: (kind, content))),
}


@pytest.fixture(scope="module")
def ground(tmp_path_factory: pytest.TempPathFactory) -> FuzzGround:
    return FuzzGround(tmp_path_factory.mktemp("fuzzed-structures"))


def fuzz(ground: FuzzGround, name: str, cases: int) -> tuple[int, int]:
    """(cases, how many were taken) of one structure; the first fault is raised in its smallest form."""
    taken = []

    @seed(SEED)
    @settings(
        max_examples=cases,
        deadline=None,
        database=None,
        suppress_health_check=list(HealthCheck),
        phases=(Phase.generate, Phase.shrink),
    )
    @given(STRUCTURES[name])
    def case(held: tuple[str, bytes]) -> None:
        target, content = held
        try:
            taken.append(TARGETS[target][0](ground, content, Random(content)))
        except PersonError as error:
            assert_inert(str(error))
            taken.append(False)

    case()
    return len(taken), sum(taken)


@pytest.mark.parametrize("name", STRUCTURES)
def test_a_few_files_of_any_values_give_a_plan_or_a_sentence(ground: FuzzGround, name: str) -> None:
    assert fuzz(ground, name, FEW)[0] >= FEW


@pytest.mark.fuzz
@pytest.mark.parametrize("name", STRUCTURES)
def test_a_thousand_files_of_any_values_give_a_plan_or_a_sentence(ground: FuzzGround, name: str) -> None:
    cases, taken = fuzz(ground, name, CASES)
    print(
        f"\nstructured {name}: seed {SEED}, {cases} cases, {taken} taken, {cases - taken} refused, 0 faults", flush=True
    )
    assert taken
