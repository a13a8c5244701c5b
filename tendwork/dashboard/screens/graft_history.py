"""What a person wished of a proposal, wish by wish, so that each can be taken back; kept until accepted or left."""

from __future__ import annotations

from tendwork.planning.choosing import Wishes


class WishHistory:
    """The wishes as they are now, and as they were before each change."""

    def __init__(self) -> None:
        self._held: tuple[Wishes, ...] = (Wishes(),)
        self._accepted: tuple[int, tuple[Wishes, ...]] | None = None

    @property
    def now(self) -> Wishes:
        """What is wished now."""
        return self._held[-1]

    def wish(self, wishes: Wishes) -> None:
        """Wish this from now on."""
        self._held = (*self._held, wishes)

    def take_back(self) -> bool:
        """Take the last wish back; False where there is none."""
        if len(self._held) == 1:
            return False
        self._held = self._held[:-1]
        return True

    def begin_with(self, wishes: Wishes) -> None:
        """Wish this and forget what was wished before: the records are other ones now."""
        self._held = (wishes,)

    def accepted(self, act: int) -> None:
        """The proposal was accepted by the act of this number, so that nothing more is wished."""
        self._accepted = act, self._held
        self._held = (Wishes(),)

    def accept_undone(self, act: int) -> None:
        """The act of this number was undone; where it was the accepting, all is wished again that was."""
        if self._accepted is not None and self._accepted[0] == act:
            _, self._held = self._accepted
            self._accepted = None
