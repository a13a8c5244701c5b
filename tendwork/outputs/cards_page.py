"""All caution cards on one sheet of paper, front and back, for the shed: as plain text, and as HTML for A4 and Letter.

Whatever stands on the cards stands here too; only the sources are put together at the end, each once.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from msgspec import Struct

from tendwork.outputs.caution import GENERAL_CAUTION
from tendwork.outputs.page import page
from tendwork.planning.vocabulary import Card
from tendwork.view.job import FIRST_AID
from tendwork.view.text import plain, wrapped

_UNDATED = re.compile(r" \((?:copy|copies|mirror)(?:, undated)?\)|,? \bundated\b")
_OWN_WORD = re.compile(r"^(?:(?P<what>.+): )?(?P<how>from memory|common practice(?:, no source)?)$")


class CardBlock(Struct, frozen=True):
    """One card as it is printed; every text in it is safe to show."""

    title: str
    line: str
    points: tuple[str, ...]
    first_aid: tuple[str, ...]
    defer: str


class CardSheet(Struct, frozen=True):
    """The whole sheet. `sources` are named once each; `unsourced` is what comes from memory or common practice."""

    site_name: str
    cards: tuple[CardBlock, ...]
    sources: tuple[str, ...]
    unsourced: tuple[str, ...]
    general: str = GENERAL_CAUTION
    first_aid: str = FIRST_AID

    @property
    def sources_said(self) -> str:
        """Where the cards come from, in one paragraph."""
        parts = (
            [f"Sources, many seen as copies, undated where no year stands: {'; '.join(self.sources)}."]
            if self.sources
            else []
        )
        if self.unsourced:
            parts.append(f"From memory or common practice, no source: {'; '.join(self.unsourced)}.")
        return " ".join(parts)


def card_sheet_of(cards: Iterable[Card], site_name: str) -> CardSheet:
    """The sheet of these cards, in their order."""
    held = tuple(cards)
    sources = [(card, source) for card in held for source in plain(card.source).split("; ")]
    return CardSheet(
        site_name=plain(site_name),
        cards=tuple(
            CardBlock(
                title=plain(card.title),
                line=plain(card.line),
                points=tuple(map(plain, card.points)),
                first_aid=tuple(map(plain, card.first_aid)),
                defer=plain(card.defer),
            )
            for card in held
        ),
        sources=tuple(sorted(set(_dated(source for _, source in sources)), key=str.casefold)),
        unsourced=tuple(dict.fromkeys(_own_words(sources))),
    )


def card_sheet_text(sheet: CardSheet, columns: int = 80) -> str:
    """The sheet in so many columns, without a trailing newline."""
    lines = wrapped(f"{sheet.site_name}: caution cards", columns)
    lines += wrapped(sheet.general, columns)
    for card in sheet.cards:
        lines += ["", *wrapped(card.title.upper(), columns), *wrapped(card.line, columns)]
        lines += [line for point in card.points for line in wrapped(point, columns, "- ")]
        lines += [f"{FIRST_AID}:"] if card.first_aid else []
        lines += [line for point in card.first_aid for line in wrapped(point, columns, "- ")]
        lines += wrapped(card.defer, columns, "  ")
    return "\n".join([*lines, "", *wrapped(sheet.sources_said, columns)])


def card_sheet_html(sheet: CardSheet) -> str:
    """The sheet as one HTML file that asks for nothing else."""
    return page("cards.html", sheet=sheet)


def _dated(sources: Iterable[str]) -> Iterator[str]:
    """What was published, without the words that the sheet says once: that there is no year, or that it is a copy."""
    for source in sources:
        if not _OWN_WORD.match(source):
            yield _UNDATED.sub("", source)


def _own_words(sources: Iterable[tuple[Card, str]]) -> Iterator[str]:
    for card, source in sources:
        if found := _OWN_WORD.match(source):
            what = found["what"] or ("some of it" if "; " in card.source else "all of it")
            yield f"{plain(card.title)} ({what})"
