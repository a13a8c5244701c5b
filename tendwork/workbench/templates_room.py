"""The room for the rules: templates, what was adjusted of them, and the caution cards."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import date

    from tendwork.folder.loaded_templates import LoadedTemplates
    from tendwork.folder.orchard_folder import OrchardFolder
    from tendwork.planning.adjustments import Adjustments
    from tendwork.planning.left_out import LeftOutLine
    from tendwork.planning.vocabulary import Template
    from tendwork.workbench.plan_making import AlmanacCache

TEMPLATES_FILE = "templates.msgpack"


class TemplatesRoom:
    """Templates before adjustments, read again when their files change, and the adjustments, read whenever asked."""

    def __init__(self, folder: OrchardFolder, almanacs: Callable[[], AlmanacCache]) -> None:
        self._folder = folder
        self._almanacs = almanacs
        self._loaded: LoadedTemplates | None = None
        self._loaded_from = ""

    def loaded(self) -> LoadedTemplates:
        """The templates in force before adjustments, with cards and tools. Raises PersonError."""
        files = self._folder.templates_token()  # before they are read: what changes meanwhile is read the next time
        if self._loaded is None or files != self._loaded_from:
            from tendwork.folder.loaded_templates import LoadedTemplates
            from tendwork.workbench.kept_reading import kept_or_read

            self._loaded = kept_or_read(self._folder, TEMPLATES_FILE, files, LoadedTemplates, self._folder.templates)
            self._loaded_from = files
        return self._loaded

    def adjustments(self) -> Adjustments:
        """What the person changed for the site. Raises PersonError."""
        from tendwork.folder.adjustments import read_adjustments

        return read_adjustments(self._folder.adjustments_path)

    def every_days(self, template: str) -> int | None:
        """Days from one repeat of a template to the next, as adjusted; None if it is left out. Raises PersonError."""
        from tendwork.planning.adjustments import adjusted
        from tendwork.workbench.plan_making import every_days

        return every_days(adjusted(self.loaded().templates, self.adjustments()), template)

    def in_force(self, today: date) -> tuple[Template, ...]:
        """The templates as they are adjusted for this site, without those that are left out. Raises PersonError."""
        from tendwork.planning.adjustments import adjusted

        return adjusted(self.loaded().templates, self.adjustments(), self.known_here(today))

    def known_here(self, today: date) -> frozenset[str]:
        """What `unless_seen` may name of this place. Raises PersonError."""
        from tendwork.workbench.known_here import known_here

        return known_here(self._folder, self._folder.records.read(), today)

    def left_out(self, today: date) -> tuple[LeftOutLine, ...]:
        """All that is left out now: by default, with the reason, and by the person. Raises PersonError."""
        from tendwork.workbench.leaving_out import all_left_out

        return all_left_out(self._folder, self.loaded().templates, today)

    def leave_out(self, template: str, tree: str = "", this_season: bool = False, *, today: date) -> str:
        """Leave a template out, for one tree or for all where "", in this season or for good, and say so.

        Raises PersonError and changes nothing where it cannot be. No tick is touched.
        """
        from tendwork.workbench.leaving_out import leave_out

        return leave_out(self._folder, self.loaded().templates, template, tree, this_season, today)

    def take_in(self, template: str, tree: str = "", *, today: date, undoing: bool = False) -> str:
        """Bring back what is left out of a template, also by default, and say so. Raises PersonError.

        Where that is `undoing` the newest act, the act is gone; else it is one more, which can be undone.
        """
        from tendwork.workbench.leaving_out import take_in

        return take_in(self._folder, self.loaded().templates, template, tree, today, undoing)

    def why_not_there(self, key: str, today: date) -> str:
        """Why there is no task with this key, if its template is left out; else empty. Raises PersonError."""
        from tendwork.workbench.leaving_out import why_not_there

        return why_not_there(self._folder, self.loaded().templates, key, today)

    def adjust(self, before: Adjustments, after: Adjustments, today: date, undoing: bool = False) -> str:
        """Put in force what changes from `before`, the adjustments as they were read, to `after`: where it is written.

        What others changed since then stays. `undoing` is as in `take_in`. Raises PersonError and changes nothing where
        it cannot be.
        """
        from tendwork.workbench.adjusting import save

        save(self._folder, self._almanacs(), self.loaded().templates, before, after, today, undoing)
        return f"Written to {self._folder.adjustments_path.name}."
