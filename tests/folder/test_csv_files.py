"""CSV: the contract's columns, every bad row named, nothing half taken, out and in again byte for byte."""

from __future__ import annotations

import string
from datetime import date
from pathlib import Path

import pytest
from examples import examples
from folder_samples import FULL
from hypothesis import given
from hypothesis import strategies as st

from tendwork.errors import PersonError
from tendwork.folder import csv_files
from tendwork.folder.csv_files import csv_text, give, parse_csv, read_csv
from tendwork.folder.fields import KINDS
from tendwork.orchard.bringing import identity_of
from tendwork.orchard.records import (
    FIRE_BLIGHT,
    GRAFT_STATES,
    TROUBLES,
    Graft,
    Life,
    Records,
    Sighting,
    Spray,
    Tasting,
    Tick,
    Tree,
    Trouble,
    Variety,
    Wood,
)
from tendwork.orchard.troubles import sign_named
from tendwork.plain_text import is_blank

GRAFT_HEADER = (
    "id,tree,species,variety,method,wrap,seal,state,set_on,facing,height_m,out_m,wood,chill,ripens_from,ripens_to,note,verdict"
    ",known_since"
)

WOOD_HEADER = (
    "id,variety,species,sticks,cut_on,from,asked_on,answer,mother_years,mother_health,health_by,kept,promised_to"
    ",promised_sticks,note,known_since"
)


def refused(text: str, kind: str) -> list[str]:
    with pytest.raises(PersonError) as caught:
        parse_csv(text, kind, "some.csv")
    return str(caught.value).splitlines()


@pytest.mark.parametrize(
    ("kind", "header"),
    [
        ("trees", "id,name,species,stock,interstem,planted,place,height_m,spread_m,form,crown_since,note,known_since"),
        ("grafts", GRAFT_HEADER),
        ("wood", WOOD_HEADER),
        ("sightings", "date,species,tree,stage,note"),
        ("tastings", "date,graft,ripe,score,use,note"),
        ("ticks", "date,task,unit,outcome,note,undone,minutes"),
        ("lives", "graft,species,variety,method,wrap,seal,state,set_on,ended_on,wood,verdict,note"),
        ("troubles", "date,tree,trouble,note"),
        ("sprays", "date,tree,product,days_to_return,days_to_harvest,note"),
    ],
)
def test_the_columns_are_those_of_the_contract(kind: str, header: str) -> None:
    assert csv_text(kind, []) == header + "\n"


@pytest.mark.parametrize("kind", KINDS)
def test_what_was_written_reads_back_as_the_same_records(kind: str) -> None:
    records = getattr(FULL, kind)
    assert parse_csv(csv_text(kind, records), kind, "x.csv").records == records


def test_what_is_said_of_a_mother_tree_and_of_the_asking_reads_back_as_it_was() -> None:
    asked = Wood("w1", "Late", "plum", 2, None, "P. Hill", asked_on=date(2025, 11, 12), answer="promised")
    said = Wood("w2", "=1+1", "apple", 1, mother_years=0, mother_health="tested", health_by="@invented, 2024")
    assert parse_csv(csv_text("wood", (asked, said)), "wood", "x.csv").records == (asked, said)


def test_a_wood_file_from_before_the_asking_was_kept_is_read() -> None:
    assert parse_csv("id,variety,species,sticks,cut_on,from\nw1,Late,plum,2,,Ann\n", "wood", "x.csv").records == (
        Wood("w1", "Late", "plum", 2, came_from="Ann"),
    )


@pytest.mark.parametrize(
    ("column", "cell", "words"),
    [
        ("answer", "perhaps", '"perhaps" is not known'),
        ("mother_health", "fine", "not known"),
        ("mother_years", "-1", "not between"),
    ],
)
def test_a_word_of_the_asking_that_says_nothing_is_refused_by_its_line(column: str, cell: str, words: str) -> None:
    fault, *_ = refused(f"id,variety,species,sticks,{column}\nw1,Late,plum,2,{cell}\n", "wood")
    assert "line 2" in fault
    assert words in fault


def test_a_tree_file_from_before_its_height_was_asked_for_is_read() -> None:
    assert parse_csv("id,name,species,stock,planted,place\nt1,Old,apple,,1990,\n", "trees", "x.csv").records == (
        Tree("t1", "Old", "apple", planted=1990),
    )


def test_days_to_wait_that_are_left_empty_are_not_known_and_a_nought_is_a_nought() -> None:
    text = "date,tree,product,days_to_return,days_to_harvest\n2026-05-01,t1,Wash,,0\n"
    assert parse_csv(text, "sprays", "x.csv").records == (Spray(date(2026, 5, 1), "t1", "Wash", None, 0),)


@pytest.mark.parametrize("word", ["Fire Blight", "FIRE  BLIGHT", " fire blight "])
def test_a_trouble_that_rules_speak_of_is_known_whatever_its_capitals(word: str) -> None:
    text = f"date,tree,trouble\n2026-05-01,t1,{word}\n"
    assert parse_csv(text, "troubles", "x.csv").records == (Trouble(date(2026, 5, 1), "t1", FIRE_BLIGHT),)


def test_a_trouble_in_a_word_of_ones_own_stays_as_it_is_written() -> None:
    text = "date,tree,trouble\n2026-05-01,t1,Leaf Curl\n"
    assert parse_csv(text, "troubles", "x.csv").records == (Trouble(date(2026, 5, 1), "t1", "Leaf Curl"),)


def test_a_spreadsheets_semicolons_byte_order_mark_and_decimal_commas_are_read() -> None:
    text = '\ufeffID;Tree;Variety;Height M;Note\r\ng1;t1;"Semi;colon";2,5;a, b\r\n;;;;\r\n'
    assert parse_csv(text, "grafts", "x.csv").records == (Graft("g1", "t1", "Semi;colon", height_m=2.5, note="a, b"),)


def test_a_file_is_read_from_the_disk_with_its_mark(tmp_path: Path) -> None:
    (tmp_path / "trees.csv").write_bytes("\ufeffid,name,species\nt1,Öl,Apple\n".encode())
    assert read_csv(tmp_path / "trees.csv", "trees").records == (Tree("t1", "Öl", "apple"),)


def test_a_file_that_is_not_utf8_is_told_with_its_line(tmp_path: Path) -> None:
    (tmp_path / "trees.csv").write_bytes(b"id,name,species\nt1,\xd6l,apple\n")
    with pytest.raises(PersonError, match=r"trees.csv, line 2: is not UTF-8 text"):
        read_csv(tmp_path / "trees.csv", "trees")


def test_columns_left_out_take_their_defaults() -> None:
    assert parse_csv("variety,tree,id\nLate,t1,g1\n", "grafts", "x.csv").records == (Graft("g1", "t1", "Late"),)


def test_other_names_of_species_and_stages_are_understood() -> None:
    text = "date,species,stage\n2026-03-20,Tart Cherry,bud burst\n"
    assert parse_csv(text, "sightings", "x.csv").records == (Sighting(date(2026, 3, 20), "sour cherry", "green tip"),)


@pytest.mark.parametrize(
    ("kind", "text", "words"),
    [
        ("grafts", "", "some.csv: is empty"),
        ("grafts", "id,tree,variety,hight_m\n", 'line 1, key "hight_m": unknown column. Did you mean "height_m"?'),
        ("grafts", "id,tree,variety,,note\n", "line 1: a column has no name"),
        ("grafts", "id,tree,tree,variety\n", 'line 1, key "tree": stands twice'),
        ("grafts", "id,tree\n", 'line 1, key "variety": this column is missing'),
        ("grafts", "id,tree,variety\ng1,,Late\n", 'line 2, key "tree": is missing'),
        ("grafts", "id,tree,variety\ng1,t1\n", "line 2: has 2 cells where the first line names 3 columns"),
        ("grafts", "id,tree,variety\ng1,t1,a,b\n", "line 2: has 4 cells where the first line names 3 columns"),
        ("grafts", "id,tree,variety\ng1,t1,a\ng1,t1,b\n", 'line 3, key "id": "g1" stands in line 2 already'),
        ("grafts", "id,tree,variety\ng 1,t1,a\n", 'line 2, key "id": "g 1" cannot be an id'),
        ("grafts", "id,tree,variety,facing\ng1,t1,a,361\n", 'line 2, key "facing": 361 is not between 0 and 359'),
        ("grafts", "id,tree,variety,facing\ng1,t1,a,1.5\n", 'key "facing": "1.5" is not a direction'),
        ("grafts", "id,tree,variety,facing\ng1,t1,a,1_0\n", 'key "facing": "1_0" is not a direction'),
        ("trees", "id,name,species,planted\nt1,a,plum,2024-03\n", '"2024-03" is not a year alone; write 2024'),
        ("trees", "id,name,species,planted\nt1,a,plum,14.4.2019\n", '"14.4.2019" is not a year alone; write 2019'),
        ("trees", "id,name,species,planted\nt1,a,plum,spring 2020\n", '"spring 2020" is not a year alone; write 2020'),
        ("trees", "id,name,species,crown_since\nt1,a,plum,old\n", '"old" is not a year alone; write one, such as 2019'),
        ("trees", "id,name,species,planted\nt1,a,plum,24\n", 'key "planted": 24 is not between 1600 and 2200'),
        ("grafts", "id,tree,variety,height_m\ng1,t1,a,31\n", 'key "height_m": 31 is not between 0 and 30'),
        ("grafts", "id,tree,variety,height_m\ng1,t1,a,nan\n", 'key "height_m": "nan" is not a number'),
        ("grafts", "id,tree,variety,height_m\ng1,t1,a,1e999\n", 'key "height_m": inf is not between'),
        ("grafts", "id,tree,variety,set_on\ng1,t1,a,1/4/2026\n", 'key "set_on": "1/4/2026" may be 1 Apr or 4 Jan'),
        ("grafts", "id,tree,variety,set_on\ng1,t1,a,20260401\n", 'key "set_on": "20260401" is not a date'),
        (
            "grafts",
            "id,tree,variety,set_on\ng1,t1,a,2026-02-29\n",
            'key "set_on": "2026-02-29" is a day or a month that there is not',
        ),
        ("grafts", "id,tree,variety,state\ng1,t1,a,grown\n", 'key "state": "grown" is not known. Known: planned'),
        ("grafts", "id,tree,variety,ripens_to\ng1,t1,a,09-31\n", 'key "ripens_to": "09-31" is not a month and day'),
        ("grafts", "id,tree,variety\ng1,t1,a\x1b[31m\n", 'line 2, key "variety": holds a control character'),
        ("grafts", 'id,tree,variety\ng1,t1,"a\nb"\ng2,t1,c\n', 'line 2, key "variety": holds a control character'),
        ("grafts", "id,tree,variety\ng1,t1,a\u2028b\n", 'line 2, key "variety": holds a control character or a line'),
        (
            "grafts",
            'id,tree,variety\ng1,t1,a\ng2,t1,"b\n',
            "line 3: cannot be taken apart (unexpected end of data). Close the quotes, or double those inside a cell.",
        ),
        ("trees", "id,name,species\nt1,a,appel\n", '"appel" is not a species. Did you mean "apple"?'),
        ("sightings", "date,species,stage\n2026-03-01,apple,gren tip\n", 'a stage of apple. Did you mean "green tip"?'),
        ("tastings", "date,graft,score\n2026-09-01,g1,6\n", 'key "score": 6 is not between 1 and 5'),
        ("sightings", "date,species,stage\n0001-01-01,apple,green tip\n", "0001-01-01 is not between 1600 and 2200"),
        ("trees", "id,name,species,height_m\na,x,apple,31\n", "31 is not between 0 and 30"),
        ("troubles", "date,tree,trouble\n2026-05-01,t1,\n", 'key "trouble": is missing'),
        ("troubles", "date,tree,trouble\n2026-05-01,t1,a\x07b\n", "control character"),
        ("sprays", "date,tree,product\n2026-05-01,t1,\n", 'key "product": is missing'),
        ("sprays", "date,tree,product,days_to_return\n2026-05-01,t1,x,-1\n", "-1 is not between 0 and 365"),
        ("sprays", "date,tree,product,days_to_harvest\n2026-05-01,t1,x,366\n", "366 is not between 0 and 365"),
        ("sprays", "date,tree,product,days_to_harvest\n2026-05-01,t1,x,1.5\n", '"1.5" is not a whole number'),
        ("ticks", "date,task,unit,undone\n2026-09-01,a,b,maybe\n", '"maybe" is neither yes nor no'),
    ],
)
def test_a_fault_is_told_by_file_line_and_column(kind: str, text: str, words: str) -> None:
    said = refused(text, kind)
    assert words in said[0], said
    assert said[0].startswith("some.csv")


def test_every_bad_row_is_named_in_one_go() -> None:
    text = "id,tree,variety,facing\ng1,t1,a,999\ng2,t1,b,9\ng3,,c,x\n"
    assert [line.split(":")[0] for line in refused(text, "grafts")] == [
        'some.csv, line 2, key "facing"',
        'some.csv, line 4, key "tree"',
        'some.csv, line 4, key "facing"',
        "Nothing was taken from the file.",
    ]


def test_after_twenty_bad_rows_the_others_are_counted() -> None:
    said = refused("id,name,species\n" + "".join(f"t{number},a,x\n" for number in range(50)), "trees")
    assert (len(said), said[20]) == (22, "and 30 more rows")


def test_a_line_is_counted_past_a_cell_of_several_lines() -> None:
    said = refused('id,tree,variety\ng1,t1,"a\nb\nc"\ng2,,d\n', "grafts")
    assert 'line 5, key "tree": is missing' in said[1]


def test_ids_that_are_left_out_are_made_from_names_the_same_each_time() -> None:
    text = "id,tree,variety\n,t1,Late Bell\nt1-late-bell-2,t1,Other\n,t1,Late Bell\n,t2,Late Bell\n,t1,!!!\n"
    first, second = (parse_csv(text, "grafts", "x.csv") for _ in range(2))
    made = [record.id for record in first.records]
    assert made == ["t1-late-bell", "t1-late-bell-2", "t1-late-bell-3", "t2-late-bell", "t1"]
    assert first == second


def test_ids_of_trees_and_wood_are_made_from_name_and_year() -> None:
    trees = parse_csv("name,species\nSite,apple\nSite,pear\n大木,plum\n", "trees", "x.csv").records
    wood = parse_csv("variety,species,sticks,cut_on\nLate,apple,3,2026-01-20\n", "wood", "x.csv").records
    assert [record.id for record in (*trees, *wood)] == ["site-2", "site-3", "大木", "late-2026"]


@pytest.mark.parametrize(
    "name", ["=SUM(A1)", "+1", "-1", "@x", "|x", "'|x", "''|", "｜x", '"', "a,b", "'", "\u202eabc"]
)
def test_text_like_a_formula_or_a_quote_is_written_as_it_is(name: str) -> None:
    trees = (Tree("t1", name, "apple"),)
    assert parse_csv(csv_text("trees", trees), "trees", "x.csv").records == trees


@pytest.mark.parametrize("name", ["=SUM(A1)", "+1", "-1", "@x", "|cmd", "'|cmd", "＝1", "｜x"])
def test_text_that_leads_a_formula_is_written_behind_an_apostrophe(name: str) -> None:
    assert csv_text("trees", [Tree("t1", name, "apple")]).splitlines()[1].startswith(f"t1,'{name},apple")


BLANKS = ("\u200b", "\u2800", "\u3164", "\u00ad \ufeff", "\u0301", "\U000e0020")


@pytest.mark.parametrize("blank", BLANKS)
@pytest.mark.parametrize(
    ("kind", "text", "keys"),
    [
        ("trees", "id,name,species\n{0},{0},apple\n", ("id", "name")),
        ("grafts", "id,tree,variety\ng1,{0},{0}\n", ("tree", "variety")),
        ("wood", "id,variety,species,sticks\n{0},{0},apple,1\n", ("id", "variety")),
        ("ticks", "task,unit,date,outcome\n{0},{0},2026-05-08,done\n", ("task", "unit")),
        ("lives", "graft,variety\n{0},{0}\n", ("graft", "variety")),
        ("sprays", "date,tree,product\n2026-05-08,{0},{0}\n", ("tree", "product")),
        ("troubles", "date,tree,trouble\n2026-05-08,{0},{0}\n", ("tree", "trouble")),
    ],
)
def test_a_name_of_which_nothing_can_be_seen_is_missing(
    kind: str, text: str, keys: tuple[str, ...], blank: str
) -> None:
    told = [f'some.csv, line 2, key "{key}": is missing' for key in keys]
    assert refused(text.format(blank), kind) == [*told, "Nothing was taken from the file."]


def test_a_control_character_that_a_record_holds_is_written_as_its_picture() -> None:
    text = csv_text("trees", [Tree("t1", " \x1b[31m\nred\x85 ", "apple")])
    assert text.splitlines()[1].startswith("t1,␛[31m␊red\ufffd,apple,")
    assert csv_text("trees", parse_csv(text, "trees", "x.csv").records) == text


def test_give_writes_one_file_for_each_kind_and_read_gives_the_records_back(tmp_path: Path) -> None:
    paths = give(FULL, tmp_path / "out", tmp_path / "orchard")
    assert [path.name for path in paths] == [f"{kind}.csv" for kind in KINDS]
    assert Records(**{path.stem: read_csv(path, path.stem).records for path in paths}) == FULL


def test_give_never_writes_over_a_file(tmp_path: Path) -> None:
    (tmp_path / "ticks.csv").write_text("mine")
    with pytest.raises(PersonError, match=r"stands there already. Nothing was written"):
        give(FULL, tmp_path, tmp_path / "orchard")
    assert [path.name for path in tmp_path.iterdir()] == ["ticks.csv"]


_WORD = st.text(string.ascii_letters + string.digits + "-é大", min_size=1, max_size=8).filter(
    lambda word: word != "site"
)
_TEXT = st.text(max_size=12)
_HAVE_PICTURES = dict.fromkeys([*range(0x20), *range(0x7F, 0xA0), 0x2028, 0x2029], "x")
_FILLED = _TEXT.filter(lambda text: not is_blank(text.translate(_HAVE_PICTURES)))
_DAY = st.dates(date(1600, 1, 1), date(2200, 12, 31))
_MONTH_DAY = st.dates(date(2024, 1, 1), date(2024, 12, 31)).map(lambda day: (day.month, day.day))
_METRES = st.none() | st.floats(0, 30)
_WAIT = st.none() | st.integers(0, 365)
_OWN_WORD = _FILLED.filter(lambda text: not sign_named(text))
_ROWS = {
    "trees": st.builds(
        Tree,
        _WORD,
        _FILLED,
        st.sampled_from(["apple", "japanese plum"]),
        _TEXT,
        st.none() | st.integers(1600, 2200),
        _TEXT,
        _METRES.filter(lambda metres: metres != 0),
    ),
    "grafts": st.builds(
        Graft,
        _WORD,
        _WORD,
        _FILLED,
        _TEXT,
        _TEXT,
        _TEXT,
        st.sampled_from(GRAFT_STATES),
        st.none() | _DAY,
        st.none() | st.integers(0, 359),
        _METRES,
        _METRES,
        _TEXT,
        st.none() | st.floats(0, 200),
        st.none() | _MONTH_DAY,
        st.none() | _MONTH_DAY,
        _TEXT,
        st.sampled_from(["on trial", "keep", "cut"]),
    ),
    "wood": st.builds(
        Wood,
        _WORD,
        _FILLED,
        st.just("pear"),
        st.integers(0, 99),
        st.none() | _DAY,
        _TEXT,
        _TEXT,
        _TEXT,
        st.integers(0, 9),
    ),
    "sightings": st.builds(Sighting, _DAY, st.just("plum"), st.just("white bud"), st.just("") | _WORD, _TEXT),
    "tastings": st.builds(Tasting, _DAY, _WORD, _TEXT, st.none() | st.integers(1, 5), _TEXT, _TEXT),
    "lives": st.builds(
        Life, _WORD, _FILLED, _TEXT, _TEXT, _TEXT, st.sampled_from(GRAFT_STATES[1:]), st.none() | _DAY, st.none() | _DAY
    ),
    "ticks": st.builds(Tick, _FILLED, _FILLED, _DAY, _FILLED, _TEXT, st.booleans()),
    "troubles": st.builds(Trouble, _DAY, _WORD, st.sampled_from(TROUBLES) | _OWN_WORD, _TEXT),
    "sprays": st.builds(Spray, _DAY, _WORD, _FILLED, _WAIT, _WAIT, _TEXT),
    "varieties": st.builds(
        Variety,
        st.just("plum"),
        _FILLED,
        _TEXT,
        st.sampled_from(["", "3", "group C", "+4", "-2.5 days"]),
        _TEXT,
        st.sampled_from(["", "Bing -12", "09-15 to 10-02", "=Bing +1 week"]),
        _TEXT,
        _TEXT,
        st.none() | st.floats(0, 200),
        _TEXT,
        _TEXT,
        _TEXT,
    ),
}


@pytest.mark.parametrize("kind", KINDS)
@examples(60)
@given(st.data())
def test_writing_what_was_read_of_what_was_written_gives_the_same_bytes(kind: str, data: st.DataObject) -> None:
    unique = identity_of if KINDS[kind].has_id or kind == "varieties" else None
    text = csv_text(kind, data.draw(st.lists(_ROWS[kind], max_size=5, unique_by=unique)))
    assert csv_text(kind, parse_csv(text, kind, "x.csv").records) == text


@pytest.mark.parametrize("kind", KINDS)
@examples(80)
@given(st.text(st.sampled_from('ab,;"\n\r\x00\ufeff1-'), max_size=40), st.booleans())
def test_no_text_at_all_makes_anything_but_rows_or_a_sentence(kind: str, text: str, headed: bool) -> None:
    header = csv_text(kind, []) if headed else ""
    said = "x.csv"
    try:
        parse_csv(header + text, kind, "x.csv")
    except PersonError as error:
        said = str(error)
    assert said.startswith("x.csv")


def test_a_folder_made_for_files_that_cannot_be_written_goes_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_room(_: Path, file: Path, *__: object, **___: object) -> None:
        raise PersonError(f"{file}: no space left on device")

    monkeypatch.setattr(csv_files, "write_outward", no_room)
    standing = tmp_path / "standing"
    standing.mkdir()
    for folder in (tmp_path / "out", standing):
        with pytest.raises(PersonError, match="no space left"):
            give(FULL, folder, tmp_path / "orchard")
    assert [*tmp_path.iterdir()] == [standing]
