"""The tags of a page, by which a name with markup in it is seen to have stayed text."""

from __future__ import annotations

from html.parser import HTMLParser


class _Tags(HTMLParser):
    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, _attributes: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)


def tags_of(page: str) -> list[str]:
    """The names of the tags that a page opens, in order."""
    return _Tags(page).tags
