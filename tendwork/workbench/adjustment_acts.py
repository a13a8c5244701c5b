"""The adjustments as acts: each is kept with what stood before it, so that undoing takes back the last act of all.

They stand in a cache file, each with the newest act of the records that stood when it was done; an act of the records
that is newer goes first. Where the file is gone, only the records can be undone.
"""

from __future__ import annotations

import msgspec
from msgspec import Struct

from tendwork.errors import PersonError
from tendwork.folder.adjustments import read_adjustments, write_adjustments
from tendwork.folder.file_lock import alone_at
from tendwork.folder.files import real_place
from tendwork.folder.orchard_folder import OrchardFolder
from tendwork.orchard.wording import listed
from tendwork.planning.adjustments import Adjustments, carried, clashes

ADJUSTED_FILE = "adjusted.json"
_MOST_ACTS = 50


class AdjustmentAct(Struct, frozen=True):
    """What one act made of the adjustments, in words that follow "Undone:"; `on` is the newest act of the records."""

    words: str
    before: Adjustments
    after: Adjustments
    on: int


def keep_act(folder: OrchardFolder, words: str, before: Adjustments, after: Adjustments, undoing: bool = False) -> None:
    """Keep what was just written; what takes the newest act back takes it away instead."""
    acts = _kept(folder)
    if undoing and acts and (acts[-1].before, acts[-1].after) == (after, before):
        _keep(folder, acts[:-1])
    else:
        _keep(folder, (*acts, AdjustmentAct(words, before, after, folder.records.newest_act())))


def adjusted_words(before: Adjustments, after: Adjustments) -> str:
    """ "what was adjusted of cut-scions and the site's shift"; empty where nothing was."""
    names = sorted({**before.template, **after.template})
    changed = [name for name in names if before.template.get(name) != after.template.get(name)]
    shift = ["the site's shift"] if before.site != after.site else []
    return f"what was adjusted of {listed([*changed, *shift])}" if changed or shift else ""


def undo_adjustment(folder: OrchardFolder) -> str | None:
    """Take the newest act on the adjustments back, where no act of the records is newer, and return its words.

    None where there is none. Raises PersonError where what it changed has been changed since, and forgets it then.
    """
    acts = _kept(folder)
    if not acts or acts[-1].on < folder.records.newest_act():
        return None
    newest, file = acts[-1], folder.adjustments_path
    with alone_at(real_place(file)):
        standing = read_adjustments(file)
        clash = clashes(newest.after, newest.before, standing)
        undone = carried(newest.after, newest.before, standing)
        if not clash and undone != standing:
            write_adjustments(file, undone)
    _keep(folder, acts[:-1])
    if clash:
        raise PersonError(
            f"That cannot be undone: {newest.words}. {listed(clash)} {'was' if len(clash) == 1 else 'were'} changed in"
            f" {file.name} since. Nothing was changed; undo again takes back what was done before it."
        )
    return newest.words if undone != standing else undo_adjustment(folder)  # somebody took it back in the file


def _kept(folder: OrchardFolder) -> tuple[AdjustmentAct, ...]:
    try:
        return msgspec.json.decode(folder.read_cache(ADJUSTED_FILE) or b"[]", type=tuple[AdjustmentAct, ...])
    except (msgspec.MsgspecError, UnicodeError):
        return ()


def _keep(folder: OrchardFolder, acts: tuple[AdjustmentAct, ...]) -> None:
    folder.write_cache(ADJUSTED_FILE, msgspec.json.encode(acts[-_MOST_ACTS:]))
