"""The templates, cards and tools in force, as whoever plans takes them; templates.py reads them."""

from __future__ import annotations

from msgspec import Struct

from tendwork.errors import located
from tendwork.folder.toml_text import key_words, line_of
from tendwork.planning.vocabulary import Card, Template, Tool


class Place(Struct, frozen=True):
    """Where a template, card or tool stands: its file, the text of it, and its place in the list of its kind."""

    file: str
    text: str
    table: str
    index: int

    def fault(self, what: str, remedy: str = "", key: tuple[str, ...] = ("id",)) -> str:
        """What is wrong at one of its keys, as a sentence with file and line."""
        line = line_of(self.text, (self.table, self.index, *key))
        return str(located(self.file, what, line=line, key=key_words((self.table, *key)), remedy=remedy))


class LoadedTemplates(Struct, frozen=True):
    """All templates, cards and tools in force, in the order of the files, and sentences the person should know.

    `own` has the place of each template of the person's own files, by its id.
    """

    templates: tuple[Template, ...]
    cards: dict[str, Card]
    tools: dict[str, Tool] = {}
    warnings: tuple[str, ...] = ()
    own: dict[str, Place] = {}
