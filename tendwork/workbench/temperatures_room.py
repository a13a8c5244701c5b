"""The room for temperatures: what is on file, what is added, and what services are asked for."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import date
    from pathlib import Path

    from tendwork.folder.orchard_folder import OrchardFolder
    from tendwork.workbench.known_temperatures import HeldTemperatures
    from tendwork.workbench.templates_room import TemplatesRoom


class TemperaturesRoom:
    def __init__(self, folder: OrchardFolder, templates: TemplatesRoom) -> None:
        self._folder = folder
        self._templates = templates

    def known(self, today: date) -> HeldTemperatures:
        """The temperatures that the folder has, and what follows from them. Raises PersonError."""
        from tendwork.workbench.known_temperatures import held_temperatures

        return held_temperatures(self._folder, self._folder.records.read(), self._templates.adjustments(), today)

    def add(
        self,
        file: Path,
        today: date,
        dry_run: bool,
        dates: str | None,
        unit: str | None = None,
        progress: Callable[[int], None] | None = None,
    ) -> tuple[str, ...]:
        """Add a temperature file's days to the folder, or say what it would. Raises PersonError."""
        from tendwork.workbench.temperature_files import add_temperatures

        return add_temperatures(self._folder, file, today, dry_run, dates, unit, progress)

    def fetch(self, today: date) -> tuple[str, ...]:
        """Ask the weather services that site.toml names, and say what came. Raises PersonError."""
        from datetime import UTC, datetime

        from tendwork.workbench.temperature_fetching import fetch_temperatures

        return fetch_temperatures(self._folder, today, datetime.now(UTC)).words

    def sent_where(self) -> str:
        """What a fetch would send to whom. Raises PersonError where site.toml names no service."""
        from tendwork.workbench.temperature_fetching import sent_where

        return sent_where(self._folder)
