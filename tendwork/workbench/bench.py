"""The one object behind dashboard, commands and watch: an open orchard folder with its rooms.

Everything that a front shows or does goes through here; fronts hold no rule of the trade, no sum of dates and no SQL.
The almanac and the planner are imported only when a plan has to be made, so that a command whose plan is kept opens at
once.
"""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from tendwork.folder.orchard_folder import OrchardFolder, refuse_unless_readable
from tendwork.workbench.plan_room import PlanRoom
from tendwork.workbench.records_room import RecordsRoom
from tendwork.workbench.temperatures_room import TemperaturesRoom
from tendwork.workbench.templates_room import TemplatesRoom

if TYPE_CHECKING:
    from pathlib import Path

    from tendwork.folder.site import Site
    from tendwork.workbench.plan_making import AlmanacCache


class Workbench:
    """An open orchard folder. Cheap to make: what a room needs is read when it is first asked."""

    def __init__(self, folder: OrchardFolder) -> None:
        self._folder = folder
        self._almanac_cache: AlmanacCache | None = None
        self.templates = TemplatesRoom(folder, self._almanacs)
        self.plan = PlanRoom(folder, self.templates, self._almanacs)
        self.records = RecordsRoom(folder, self.templates, self.plan, self._almanacs)
        self.temperatures = TemperaturesRoom(folder, self.templates)

    @classmethod
    def open(cls, path: Path | None = None) -> Workbench:
        """Open `path`, else TENDWORK_ORCHARD, else the default place. Raises PersonError."""
        return cls(OrchardFolder.open(path))

    @classmethod
    def begin(cls, path: Path, *, name: str, timezone: str, latitude: float, longitude: float) -> Workbench:
        """Make a new orchard folder and open it. Raises PersonError; overwrites nothing."""
        return cls(OrchardFolder.begin(path, name=name, timezone=timezone, latitude=latitude, longitude=longitude))

    def close(self) -> None:
        """Let go of the records."""
        self._folder.close()

    @property
    def path(self) -> Path:
        return self._folder.path

    @property
    def site(self) -> Site:
        return self._folder.site

    def today(self) -> date:
        """The person's local day at the site."""
        from tendwork.site_clock import today

        return today(self._folder.site.timezone)

    def refresh_files(self) -> None:
        """Read site.toml again where the person has edited it, before anything is planned. Raises PersonError."""
        refuse_unless_readable(self._folder.path)
        self._folder.renew_site()

    def keep_copied(self, text: str) -> Path:
        """Keep a text that was copied in a file in cache/, and say in which. Raises PersonError."""
        from tendwork.folder.files import make_folder, write_whole

        file = self._folder.path / "cache" / "copied.txt"
        make_folder(file.parent)
        write_whole(file, f"{text}\n".encode("utf-8", "replace"))
        return file

    def _almanacs(self) -> AlmanacCache:
        from tendwork.workbench.plan_making import AlmanacCache

        if self._almanac_cache is None:
            self._almanac_cache = AlmanacCache(self._folder)
        return self._almanac_cache
