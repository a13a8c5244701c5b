"""A JSON answer of a weather service: decoded, and taken apart with sentences instead of type errors."""

from __future__ import annotations

from typing import Any

from tendwork.errors import PersonError, located


class Document:
    """One JSON file or answer. `name` is what the person calls it."""

    def __init__(self, name: str, text: str) -> None:
        import json

        self.name = name
        self._text = text
        try:
            self.content: Any = json.loads(text)
        except json.JSONDecodeError as error:
            raise located(
                name,
                f"the JSON breaks off or is damaged at character {error.colno}",
                line=error.lineno,
                remedy="Save or fetch it again",
            ) from error
        except (RecursionError, ValueError) as error:
            raise located(name, "the JSON is damaged", line=1, remedy="Save or fetch it again") from error

    def fault(self, key: str, what: str) -> PersonError:
        """What is wrong with `key` ("daily.time"), and where it stands."""
        at = self._text.find(f'"{key.rpartition(".")[2]}"')
        return located(self.name, what, line=self._text.count("\n", 0, max(at, 0)) + 1, key=key)

    def table(self, parent: Any, key: str) -> dict[str, Any]:
        """The object under the last part of `key` in `parent`."""
        found = parent.get(key.rpartition(".")[2]) if isinstance(parent, dict) else None
        if not isinstance(found, dict):
            raise self.fault(key, "is missing or is no object")
        return found

    def array(self, parent: Any, key: str) -> list[Any]:
        """The array under the last part of `key` in `parent`."""
        found = parent.get(key.rpartition(".")[2]) if isinstance(parent, dict) else None
        if not isinstance(found, list):
            raise self.fault(key, "is missing or is no array")
        return found


def degrees(value: Any) -> float | None:
    """A number out of JSON; None for null. Raises ValueError for anything else."""
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError(f"{value!r} is no number")
    try:
        return float(value)
    except OverflowError as error:
        raise ValueError("a number beyond all bounds") from error
