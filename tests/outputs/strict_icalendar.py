"""A small strict reader of RFC 5545, written from its grammar and independent of any library.

https://www.rfc-editor.org/rfc/rfc5545: 3.1 (content lines), 3.3.11 (TEXT), 3.4 (the object), 3.6 (components).
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

_LINE = re.compile(r"(?P<name>[A-Za-z0-9-]+)(?P<parameters>(?:;[A-Za-z0-9-]+=[^\";:,\x00-\x1f]*)*):(?P<value>.*)")
_TEXT = ("SUMMARY", "DESCRIPTION", "LOCATION", "CATEGORIES", "NAME", "X-WR-CALNAME")


@dataclass
class Property:
    name: str
    parameters: dict[str, str]
    value: str

    @property
    def text(self) -> str:
        """The value with the escapes of 3.3.11 taken back."""
        return re.sub(r"\\(.)", lambda found: "\n" if found[1] in "nN" else found[1], self.value)


@dataclass
class Component:
    name: str
    properties: list[Property] = field(default_factory=list)
    components: list[Component] = field(default_factory=list)

    def all(self, name: str) -> list[Property]:
        return [held for held in self.properties if held.name == name]

    def one(self, name: str) -> Property:
        (held,) = self.all(name)
        return held

    def named(self, name: str) -> list[Component]:
        return [held for held in self.components if held.name == name]


def unfolded(content: bytes) -> list[str]:
    """The content lines, each checked as 3.1 asks."""
    assert content.endswith(b"\r\n"), "3.1: a content line ends in CRLF"
    physical = content[:-2].split(b"\r\n")
    for line in physical:
        assert not {13, 10} & set(line), "3.1: no bare CR or LF"
        assert len(line) <= 75, "3.1: no more than 75 octets, the line break left out"
    lines = b"\r\n".join(physical).replace(b"\r\n ", b"").replace(b"\r\n\t", b"").decode("utf-8").split("\r\n")
    for line in lines:
        assert not re.search(r"[\x00-\x08\x0a-\x1f\x7f]", line), "3.1: no CONTROL but the tab"
    return lines


def read_strictly(content: bytes) -> Component:
    """The one VCALENDAR of a file. Raises AssertionError with the section that it breaks."""
    root = Component("")
    stack = [root]
    for line in unfolded(content):
        found = _LINE.fullmatch(line)
        assert found, f"3.1: no content line: {line!r}"
        name, value = found["name"].upper(), found["value"]
        if name == "BEGIN":
            opened = Component(value)
            stack[-1].components.append(opened)
            stack.append(opened)
        elif name == "END":
            assert stack.pop().name == value, "3.6: END names the component that is open"
        else:
            if name in _TEXT:
                assert re.fullmatch(r"(?:[^\\;,]|\\[\\;,nN])*", value), f"3.3.11: not escaped: {line!r}"
            pairs = [pair.partition("=") for pair in found["parameters"].split(";")[1:]]
            stack[-1].properties.append(Property(name, {key: held for key, _, held in pairs}, value))
    assert stack == [root], "3.4: every component is closed"
    (calendar,) = root.components
    assert calendar.name == "VCALENDAR", "3.4: the object is a VCALENDAR"
    return calendar
