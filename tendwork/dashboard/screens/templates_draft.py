"""Changes to the adjustments that are not saved yet, as one frozen value: nothing is kept until the person saves it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING

import msgspec
from msgspec import Struct

from tendwork.errors import PersonError
from tendwork.planning.adjustments import Adjustments, carried
from tendwork.view.adjusted import losses_sentence, unmeant
from tendwork.view.words import counted

if TYPE_CHECKING:
    from tendwork.workbench.bench import Workbench


ADJUSTMENTS_FILE = "adjustments.toml"


class Draft(Struct, frozen=True):
    """`saved` is what the file says, `now` what the screen shows, `steps` what it showed before, newest last.

    `last_save` is what the newest save found and what it left.
    """

    saved: Adjustments = Adjustments()
    now: Adjustments = Adjustments()
    steps: tuple[Adjustments, ...] = ()
    last_save: tuple[Adjustments, Adjustments] | None = None

    @property
    def unsaved(self) -> bool:
        return self.now != self.saved

    def changed(self, now: Adjustments) -> Draft:
        """One change further."""
        if now == self.now:
            return self
        return msgspec.structs.replace(self, now=now, steps=(*self.steps, self.now))

    def stepped_back(self) -> Draft:
        """Without the newest change; where those before it are forgotten, without any."""
        if not self.steps:
            return msgspec.structs.replace(self, now=self.saved)
        return msgspec.structs.replace(self, now=self.steps[-1], steps=self.steps[:-1])

    def read(self, saved: Adjustments) -> Draft:
        """The file says `saved` now: what is unsaved here stays, laid over it."""
        if saved == self.saved:
            return self
        now = carried(self.saved, self.now, saved)
        return Draft(saved, now, (), self.last_save)

    def after_save(self, saved: Draft) -> Draft:
        """`saved` was saved; what was changed since then is still unsaved."""
        return Draft(carried(saved.saved, saved.now, self.saved), self.now, (), (saved.saved, saved.now))

    def after_undo(self, saved: Draft) -> Draft:
        """The newest save of `saved` was taken back."""
        before, after = saved.last_save or (self.saved, self.saved)
        return Draft(carried(after, before, self.saved), carried(after, before, self.now))

    def unsaved_words(self) -> str:
        """What is not saved: "2 templates and the site's shift"."""
        changed = len(_changed_templates(self.saved, self.now))
        parts = [counted(changed, "template")] if changed else []
        parts += ["the site's shift"] if self.now.site != self.saved.site else []
        return " and ".join(parts)


class Saving:
    """The act that saves the values that are unsaved. What another process wrote meanwhile stays, or is refused.

    Where it would take jobs away and the person has not `agreed` to that, it keeps nothing, and `lost` says what goes.
    """

    def __init__(self, draft: Draft, agreed: bool = False) -> None:
        self.draft = draft
        self.lost = ""
        self._agreed = agreed

    def __call__(self, bench: Workbench, today: date) -> str:
        from tendwork.workbench.adjusting import laid_on

        saved, now = self.draft.saved, self.draft.now
        after = laid_on(bench.templates.adjustments(), saved, now, ADJUSTMENTS_FILE)
        if not self._agreed:
            self.lost = losses_sentence(unmeant(bench.plan.preview(after, today).losses))
        if self.lost:
            raise PersonError(self.lost)
        bench.templates.adjust(saved, now, today)
        return f"Saved: {self.draft.unsaved_words()}."


def taking_back(draft: Draft) -> Callable[[Workbench, date], str]:
    """The act that takes the newest save back. Only for a draft that has one."""

    def take_back(bench: Workbench, today: date) -> str:
        before, after = draft.last_save or (draft.saved, draft.saved)
        bench.templates.adjust(after, before, today, undoing=True)
        return "Taken back: the last save of the templates."

    return take_back


def _changed_templates(before: Adjustments, after: Adjustments) -> list[str]:
    names = {**before.template, **after.template}
    return [name for name in names if before.template.get(name) != after.template.get(name)]
