"""Signs of disease and sprays as edits: noted on one tree or several, completed when noted again, or taken away."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import date
from functools import reduce

from msgspec.structs import replace

from tendwork.orchard.edits import Edit, changes_of, checked, refusal
from tendwork.orchard.records import KIND_OF, Records, Spray, Tree, Trouble
from tendwork.orchard.troubles import sign_named
from tendwork.orchard.wording import counted, listed

Note = Trouble | Spray
WAITS = (("days_to_return", "to return"), ("days_to_harvest", "to harvest"))
"""The days that a label asks to wait: the field of `Spray`, and until what."""


def trees_named(records: Records, names: Iterable[str]) -> tuple[tuple[Tree, ...], tuple[str, ...]]:
    """The trees that are meant, each by its id or by its name, and a sentence for every name that means none or two."""
    found: dict[str, Tree] = {}
    faults = []
    for name in names:
        wanted = _folded(name)
        meant = [tree for tree in records.trees if tree.id == name.strip()]
        meant = meant or [tree for tree in records.trees if wanted in (tree.id.casefold(), _folded(tree.name))]
        if not meant:
            faults.append(f'There is no tree "{name.strip()}". `tendwork trees` lists them.')
        elif len(meant) > 1:
            faults.append(f'"{name.strip()}" may be {listed(map(called, meant))}. Name one by its id.')
        else:
            found[meant[0].id] = meant[0]
    return tuple(found.values()), tuple(faults)


def called(tree: Tree) -> str:
    """ "Wall pear (t3)"."""
    return f"{tree.name} ({tree.id})"


def subject_of(note: Note) -> str:
    """What was seen, or sprayed."""
    return note.what if isinstance(note, Trouble) else note.product


def identity_of_note(note: Note) -> tuple[object, ...]:
    """What makes two of them the same one: the tree, the day, and the trouble or product in whatever words."""
    sign = sign_named(note.what) if isinstance(note, Trouble) else ""
    return type(note), note.tree, note.day, sign or _folded(subject_of(note))


def completed(held: Note, told: Note) -> Note:
    """What is held of a sign or a spray, with what is now told of it. What is not told this time stays."""
    fields = {name: value for name in ("note", *(name for name, _ in WAITS)) if _is_told(value := _value(told, name))}
    return replace(held, **fields)


def note(records: Records, trees: Sequence[Tree], told: Note) -> Edit:
    """Note a sign or a spray on trees. What is noted there already is completed, or stays if nothing is new of it."""
    add: list[Note] = []
    remove: list[Note] = []
    groups: dict[str, list[Tree]] = {}
    for tree in trees:
        new: Note = replace(told, tree=tree.id)
        held = _same(records, new)
        whole = reduce(completed, (*held[1:], new), held[0]) if held else new
        if len(held) == 1 and whole == held[0]:
            done = f"{_event(whole)} is already noted"
        elif held:
            done = f"{_event(whole)} amended{_waits(whole)}{_waited(held[-1], whole)}"
        else:
            done = f"{_event(whole)}{_waits(whole)}"
        if held != [whole]:
            add.append(whole)
            remove += held
        groups.setdefault(done, []).append(tree)
    words = "; ".join(f"{listed(map(called, on))}: {done}" for done, on in groups.items())
    return Edit(words, changes_of(remove, (), add))


def noted(records: Records, trees: Iterable[Tree], told: Note) -> tuple[Note, ...]:
    """What is held of a sign or a spray on these trees."""
    return tuple(one for tree in trees for one in _same(records, replace(told, tree=tree.id)))


def withdraw(records: Records, trees: Sequence[Tree], told: Note) -> Edit:
    """Take a sign or a spray away that was noted by mistake; refused where one of the trees has none."""
    remove: list[Note] = []
    refused = []
    for tree in trees:
        new: Note = replace(told, tree=tree.id)
        held = _same(records, new)
        remove += held
        if not held:
            refused.append(f"{called(tree)}: {_event(new)} is not noted. {_noted_there(records, new)}")
    words = f"{listed(map(called, trees))}: {_event(told)} taken away, noted by mistake"
    return Edit(words, changes_of(remove), tuple(refused))


def on_named_trees(
    records: Records,
    names: Iterable[str],
    told: Note,
    today: date,
    edit_of: Callable[[Records, Sequence[Tree], Note], Edit],
) -> Edit:
    """What is told, noted on the trees with these ids or names, or withdrawn: `edit_of` is `note` or `withdraw`."""
    trees, unknown = trees_named(records, names)
    if unknown or not trees:
        return refusal(*(unknown or ("Name the tree, by its id or its name.",)))
    return checked(records, edit_of(records, trees, told), today)


def wait_words(spray: Spray) -> str:
    """ "2 days to return, days to harvest not known"."""
    return ", ".join(_wait(getattr(spray, name), until) for name, until in WAITS)


def is_own_word(trouble: Trouble) -> bool:
    """Whether no rule speaks of what was seen."""
    return not sign_named(trouble.what)


def _wait(days: int | None, until: str) -> str:
    return f"days {until} not known" if days is None else f"{counted(days, 'day')} {until}"


def _waits(note: Note) -> str:
    """The days that are known, as the end of a phrase; of the others a front says more."""
    known = [_wait(days, until) for name, until in WAITS if (days := getattr(note, name, None)) is not None]
    return "".join(f", {words}" for words in known)


def _waited(before: Note, after: Note) -> str:
    """What stood there of the days that are others now."""
    if not isinstance(before, Spray) or not isinstance(after, Spray):
        return ""
    changed = [(name, until) for name, until in WAITS if getattr(before, name) != getattr(after, name)]
    old = [_wait(getattr(before, name), until) for name, until in changed]
    return f" (before: {', '.join(old)})" if old else ""


def _event(note: Note) -> str:
    return f"{subject_of(note)} {'seen' if isinstance(note, Trouble) else 'sprayed'} on {note.day}"


def _same(records: Records, wanted: Note) -> list[Note]:
    held: tuple[Note, ...] = getattr(records, KIND_OF[type(wanted)])
    return [one for one in held if identity_of_note(one) == identity_of_note(wanted)]


def _noted_there(records: Records, wanted: Note) -> str:
    held: tuple[Note, ...] = getattr(records, KIND_OF[type(wanted)])
    there = [f"{subject_of(one)} on {one.day}" for one in held if one.tree == wanted.tree]
    return f"Noted there: {listed(there)}." if there else "Nothing of the kind is noted there."


def _value(note: Note, name: str) -> object:
    return getattr(note, name, None)


def _is_told(value: object) -> bool:
    return value is not None and value != ""


def _folded(text: str) -> str:
    return " ".join(text.casefold().split())
