"""The kinds of record are listed once, and what goes by kind knows all of them."""

from __future__ import annotations

import typing

from tendwork.folder.fields import KINDS, Form
from tendwork.orchard.records import KIND_OF, RECORD_KINDS, Record, Records


def test_every_kind_of_record_is_a_field_of_the_records_a_type_and_a_table() -> None:
    assert set(RECORD_KINDS) == set(Records.__struct_fields__) == set(KIND_OF.values())
    assert set(KIND_OF) == set(typing.get_args(Record))
    assert tuple(KINDS) == RECORD_KINDS
    assert all(kind.name == name and KIND_OF[kind.record] == name for name, kind in KINDS.items())


def test_a_kind_comes_after_the_kinds_that_it_refers_to() -> None:
    for place, name in enumerate(RECORD_KINDS):
        to = {field.to for field in KINDS[name].fields if field.form is Form.REFERENCE}
        assert to <= set(RECORD_KINDS[: place + 1]), name
