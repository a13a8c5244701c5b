"""What hangs on the name of a template hangs on a shipped one, and all such names stand in one place."""

from __future__ import annotations

import ast
from itertools import pairwise
from pathlib import Path

import pytest

import tendwork
from tendwork.folder.templates import load_templates
from tendwork.orchard import named_templates
from tendwork.orchard.named_templates import (
    CHECK_WOOD,
    FIRE_BLIGHT_WATCH,
    NAMED_TEMPLATES,
    NOTE_GROWTH,
    THINNING,
    WINTER_CHECK,
)
from tendwork.orchard.outcomes import STRIKES
from tendwork.orchard.vigour import GROWTH

PROGRAM = Path(tendwork.__file__).parent
SHIPPED = {template.id: template for template in load_templates(None).templates}


@pytest.mark.parametrize("name", NAMED_TEMPLATES)
def test_a_template_that_something_hangs_on_is_shipped(name: str) -> None:
    assert name in SHIPPED


def test_the_shipped_templates_have_what_hangs_on_them() -> None:
    assert SHIPPED[CHECK_WOOD].each == "wood"
    assert SHIPPED[CHECK_WOOD].repeats is not None
    assert SHIPPED[FIRE_BLIGHT_WATCH].each == "tree"
    assert set(STRIKES) <= set(SHIPPED[FIRE_BLIGHT_WATCH].outcomes)
    assert SHIPPED[NOTE_GROWTH].each == "graft"
    assert set(GROWTH) <= set(SHIPPED[NOTE_GROWTH].outcomes)
    assert SHIPPED[WINTER_CHECK].each == "graft"
    assert {SHIPPED[name].part for name in THINNING} == {"fruit"}


def test_no_other_module_knows_a_template_by_name() -> None:
    here = Path(named_templates.__file__)
    found = {
        f"{file.relative_to(PROGRAM)}:{node.lineno} {node.value}"
        for file in PROGRAM.rglob("*.py")
        if file != here
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
        if isinstance(node, ast.Constant) and node.value in SHIPPED
    }
    assert found == set()


def test_each_name_is_listed_and_says_what_hangs_on_it() -> None:
    body = ast.parse(Path(named_templates.__file__).read_text(encoding="utf-8")).body
    listed: list[str] = []
    for node, after in pairwise(body):
        if isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
            held = getattr(named_templates, node.target.id)
            listed += [held] if isinstance(held, str) else held
            assert isinstance(after, ast.Expr), f"{node.target.id} does not say what hangs on it"
    assert tuple(listed) == NAMED_TEMPLATES
