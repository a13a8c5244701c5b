"""The README and the developers' guide name what is there: every command, and only files that exist."""

from __future__ import annotations

import re
from pathlib import Path

import click
import msgspec
import pytest
from hypothesis import settings

from tendwork.cli import cli
from tendwork.cli.temps import temps
from tendwork.dashboard.actions import SCREENS
from tendwork.folder.template_checks import card_faults
from tendwork.planning.vocabulary import TemplateFile
from tendwork.weather.fetching import SERVICES

HOUSE = Path(__file__).parents[1]
GUIDES = ("README.md", "DEVELOPERS.md")
FILE = re.compile(r"`((?:tendwork|tests|task_templates|sample_config|\.ci)/[\w./-]+)`")


def text(guide: str) -> str:
    return (HOUSE / guide).read_text(encoding="utf-8")


@pytest.mark.parametrize(
    "command", [*cli.commands.values(), *temps.commands.values()], ids=lambda command: command.name
)
def test_the_list_of_commands_says_what_each_does_without_breaking_off(command: click.Command) -> None:
    columns_for_words = 80 - 2 - 2 - 2 - len("calendar") - 2  # click's margins, and the longest name
    assert not command.get_short_help_str(columns_for_words).endswith("...")


@pytest.mark.parametrize("command", [*cli.commands, *(f"temps {name}" for name in temps.commands)])
def test_the_readme_has_a_row_for_every_command(command: str) -> None:
    rows = [line.split("|")[1] for line in text("README.md").splitlines() if line.startswith("| `tendwork ")]
    assert re.search(rf"`(tendwork )?{command}\b", " ".join(rows)), f"the README's table of commands lacks {command}"


@pytest.mark.parametrize("service", [service.name for service in SERVICES])
def test_the_readme_names_every_weather_service(service: str) -> None:
    assert service in text("README.md"), f"the README (Temperatures by themselves) lacks {service}"


@pytest.mark.parametrize("screen", SCREENS)
def test_the_readme_names_every_screen(screen: str) -> None:
    assert f"**{screen.title()}" in text("README.md"), f"the README (Every day) lacks {screen.title()}"


def test_the_rule_that_the_readme_shows_is_a_template() -> None:
    (shown,) = re.findall(r"```toml\n(\[\[template\]\].*?)```", text("README.md"), re.DOTALL)
    (template,) = msgspec.toml.decode(shown, type=TemplateFile).template
    assert (template.id, template.part) == ("wash-tools", "upkeep")


def test_the_card_that_the_readme_shows_is_a_card_without_fault() -> None:
    (shown,) = re.findall(r"```toml\n(\[\[card\]\].*?)```", text("README.md"), re.DOTALL)
    (card,) = msgspec.toml.decode(shown, type=TemplateFile).card
    assert card_faults(card, shown, "README.md", ("card", 0)) == []


@pytest.mark.parametrize("guide", GUIDES)
def test_every_file_that_a_guide_names_is_there(guide: str) -> None:
    named = FILE.findall(text(guide))
    assert named
    there = {file.name for folder in ("tendwork", "tests") for file in (HOUSE / folder).rglob("*.py")}
    assert set(re.findall(r"`(?:[\w./]+/)?(\w+\.py)`", text(guide))) <= there
    assert [path for path in named if not (HOUSE / path).exists()] == []


def test_the_profile_that_the_developers_guide_names_makes_ten_times_as_many_examples() -> None:
    (name,) = re.findall(r"--hypothesis-profile=(\w+)", text("DEVELOPERS.md"))
    assert settings.get_profile(name).max_examples == 10 * settings.get_profile("small").max_examples
