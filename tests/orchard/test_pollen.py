"""Who gives pollen and who needs none, by what is said of it; nothing said, or a contradiction, is not known."""

from __future__ import annotations

import pytest
from orchard_records import graft, orchard

from tendwork.orchard.bloom_overlap import bloom_overlaps
from tendwork.orchard.pollen import pollen_of
from tendwork.orchard.records import Records, Variety
from tendwork.orchard.variety_reference import Said
from tendwork.view.bloom import bloom_lines, bloom_rows, known_bloom_text


@pytest.mark.parametrize(
    ("said", "gives", "needs_none"),
    [
        (("triploid",), False, False), (("no good pollen",), False, False), (("sterile pollen",), False, False),
        (("no viable pollen",), False, False), (("Triploid, self-fertile",), False, True),
        (("self-fertile",), True, True), (("partly self-fertile",), True, False), (("not self-fertile",), True, False),
        (("diploid",), True, False), (("not triploid",), None, False), (("self-sterile",), True, False),
        (("incompatibility group III",), True, False), (("poor alone",), None, False), ((), None, False),
        (("triploid (in one list only)",), None, False), (("triploid", "diploid"), None, False),
        (("triploid", "triploid"), False, False), (("self-fertile", "self-sterile"), True, False),
    ],
)  # fmt: skip
def test_what_is_said_of_pollen(said: tuple[str, ...], gives: bool | None, needs_none: bool) -> None:
    found = pollen_of(Said(value, "a list") for value in said)
    assert (found.gives, found.needs_none) == (gives, needs_none)


def blooming(**pollen: str) -> Records:
    """Varieties of one bloom group, each with what is said of its pollen."""
    grafts = (graft(f"g{number}", variety=name) for number, name in enumerate(pollen))
    varieties = tuple(Variety("apple", name, bloom="3", pollen=said) for name, said in pollen.items())
    return orchard(*grafts, varieties=varieties)


def states(**pollen: str) -> dict[str, str]:
    return {row.variety: row.state for row in bloom_rows(blooming(**pollen))}


def test_who_gives_no_pollen_is_no_partner() -> None:
    assert states(A="triploid", B="no good pollen") == {"A": "alone", "B": "alone"}
    assert states(A="triploid", B="diploid") == {"A": "partner", "B": "alone"}
    assert states(A="triploid", B="") == {"A": "partner", "B": "alone"}
    assert states(A="self-fertile", B="triploid") == {"A": "self", "B": "partner"}


def test_one_that_is_self_fertile_needs_no_partner_though_none_blooms_with_it() -> None:
    early, late = Variety("apple", "A", bloom="1", pollen="self-fertile"), Variety("apple", "B", bloom="6")
    records = orchard(graft("g1", variety="A"), graft("g2", variety="B"), varieties=(early, late))
    assert {row.variety: row.state for row in bloom_rows(records)} == {"A": "self", "B": "alone"}


def test_the_pair_says_of_each_whether_it_gives() -> None:
    (pair,) = bloom_overlaps(blooming(A="triploid", B=""))
    assert (pair.verdict, pair.one_gives, pair.other_gives) == ("together", False, None)


def test_the_lines_say_who_gives_none_and_of_whom_it_is_not_known() -> None:
    records = blooming(A="triploid", B="", C="self-fertile")
    rows = {row.variety: bloom_lines(row, 200) for row in bloom_rows(records)}
    assert "Gives no pollen to others: triploid [you]." in rows["A"]
    assert "Whether B gives pollen is not known." in rows["A"]
    assert any(line.startswith("Together with A, which gives no pollen: ") for line in rows["B"])
    assert "Needs no partner: self-fertile [you]." in rows["C"]
    assert known_bloom_text(records, 200).splitlines() == [
        "A (apple), group 3: gives no pollen; together with C; together, pollen not known, with B.",
        "B (apple), group 3: together with C; together, but no pollen from A.",
        "C (apple), group 3: needs no partner; together, pollen not known, with B; together, but no pollen from A.",
        "2 with a partner in bloom, 0 without, 0 not known.",
    ]


def test_of_many_varieties_each_has_its_line_and_no_pair_has_one() -> None:
    many = {f"Lamp {number:03}": "diploid" for number in range(150)}
    records = blooming(**many)
    lines = known_bloom_text(records, 200).splitlines()
    assert len(lines) == 151
    assert lines[0] == "Lamp 000 (apple), group 3: together with Lamp 001, Lamp 002 and 147 more."
    assert len(bloom_overlaps(records)) == 150 * 149 // 2


def test_all_of_which_nothing_is_known_are_one_line() -> None:
    records = orchard(*(graft(f"g{number}", variety=f"Lamp {number:03}") for number in range(40)))
    assert known_bloom_text(records, 200).splitlines() == [
        "Of the bloom of Lamp 000, Lamp 001 and 38 more (apple) nothing is known.",
        "0 with a partner in bloom, 0 without, 40 not known.",
    ]


def test_two_names_of_a_variety_are_no_partners() -> None:
    grafts = (graft("g1", variety="Bramley"), graft("g2", variety="Bramley's Seedling"))
    assert bloom_overlaps(orchard(*grafts)) == ()
    assert [row.variety for row in bloom_rows(orchard(*grafts))] == ["Bramley"]
