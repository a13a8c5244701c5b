"""What a form calls the fields of a record, which words it offers for them, and their values as text."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from msgspec import Struct

from tendwork.orchard.crown import facing_text
from tendwork.orchard.methods import METHODS
from tendwork.orchard.records import ANSWERS, GRAFT_STATES, MOTHER_HEALTH, SIGNS, VERDICTS, Records
from tendwork.orchard.rough_dates import RoughDate, date_text
from tendwork.orchard.tree_size import TRAINED_FLAT
from tendwork.orchard.variety_words import POLLEN
from tendwork.orchard.vigour import GROWTH
from tendwork.orchard.wraps import WRAPS
from tendwork.species import SPECIES
from tendwork.view.words import in_units

FORMS = ("bush", "half-standard", "standard", "spindle", *TRAINED_FLAT)
SEALS = ("wax", "compound", "film", "none")
_OFFERED = 7
RIPENESS = ("ripe", "unripe", "over")
USES = ("eating", "cooking", "keeping", "cider", "juice", "drying")

FIELDS_OF = {
    "trees": (
        "id", "name", "species", "stock", "interstem", "planted", "place", "height_m", "spread_m", "form",
        "crown_since", "note",
    ),
    "grafts": (
        "id", "variety", "tree", "state", "verdict", "method", "wrap", "seal", "set_on", "wood",
        "facing", "height_m", "out_m", "species", "ripens_from", "ripens_to", "chill", "note",
    ),
    "wood": (
        "id", "variety", "species", "sticks", "cut_on", "came_from", "kept", "promised_to", "promised_sticks", "note",
        "asked_on", "answer", "mother_years", "mother_health", "health_by",
    ),
    "tastings": ("day", "graft", "ripe", "score", "use", "note"),
    "troubles": ("tree", "what", "day", "note"),
    "sprays": ("tree", "product", "days_to_return", "days_to_harvest", "day", "note"),
    "varieties": (
        "variety", "species", "also", "bloom", "pollen", "ripens", "keeps", "vigour", "chill", "use", "source", "note",
    ),
}  # fmt: skip
OF_MANY = {
    "grafts": ("state", "verdict", "method", "wrap", "seal", "set_on", "wood", "ripens_from", "ripens_to", "note"),
    "wood": (
        "sticks", "cut_on", "came_from", "kept", "promised_to", "promised_sticks", "note", "asked_on", "answer",
        "mother_years", "mother_health", "health_by",
    ),
}  # fmt: skip
DAYS = ("day", "set_on", "cut_on", "asked_on")
LENGTHS = ("height_m", "out_m", "spread_m")
PLACE = ("facing", "height_m", "out_m")
_LABELS = {
    "set_on": "set on",
    "cut_on": "cut on",
    "asked_on": "asked on",
    "mother_years": "mother tree's age",
    "mother_health": "mother tree's health",
    "health_by": "who says so",
    "came_from": "from",
    "height_m": "height",
    "crown_since": "crown since",
    "out_m": "out",
    "ripens_from": "ripe from",
    "ripens_to": "ripe to",
    "promised_to": "promised",
    "promised_sticks": "of them",
    "day": "tasted on",
    "what": "sign",
    "days_to_return": "days to return",
    "days_to_harvest": "days to harvest",
}
_LABELS_OF = {
    ("trees", "height_m"): "crown reaches",
    ("trees", "spread_m"): "crown is wide",
    ("troubles", "day"): "seen on",
    ("troubles", "tree"): "trees",
    ("sprays", "day"): "sprayed on",
    ("sprays", "tree"): "trees",
    ("varieties", "also"): "also called",
}
_HINTS = {
    "id": "the next free one, if left empty",
    "planted": "the year",
    "crown_since": "the year; empty: since it was planted",
    "spread_m": "metres across",
    "set_on": "2026-04-12, 12.4.2026, or only 2026",
    "cut_on": "2026-01-20; empty until it is cut",
    "facing": "SE, or degrees from north",
    "asked_on": "2025-11-12; empty until you ask",
    "answer": "promised, refused; empty: none yet",
    "mother_years": "years, as said; empty: not known",
    "mother_health": "empty: not known",
    "health_by": "who says or tested it, and when",
    "height_m": "metres above ground",
    "out_m": "metres from the trunk",
    "ripens_from": "month-day: 09-15",
    "ripens_to": "month-day: 10-02",
    "chill": "chill portions, where known",
    "came_from": "a tree's id, else whose or where",
    "promised_to": "to whom",
    "promised_sticks": "how many sticks",
    "what": "fire blight, canker, or your own word",
    "days_to_return": "from the label; empty: not known",
    "days_to_harvest": "from the label; empty: not known",
    "product": "as the label names it",
    "also": "other names, with commas",
    "bloom": "a group, 3 or C, or days: +4",
    "pollen": "diploid, triploid, self-fertile",
    "ripens": "09-15 to 10-02, or Bing +7",
    "keeps": "Mar, 3 months, does not keep",
    "vigour": "strong, middle or weak",
    "source": "who says so, if not you alone",
}

_HELP = {
    "id": "A short name of its own.",
    "name": "What the tree is called.",
    "species": "What it is; the rules and the buds follow from it.",
    "stock": "The rootstock, or the framework variety.",
    "interstem": "What stands between the rootstock and the crown, if anything does.",
    "planted": "The year in which it was planted.",
    "form": "How it is trained.",
    "crown_since": "Since when the wood of its crown grows, where it was headed back or worked over.",
    "place": "Where it stands, in your own words.",
    "variety": "The variety, written the same everywhere.",
    "tree": "The id of the tree that it stands on.",
    "state": "How far it has come; what is to do follows from it.",
    "verdict": "Whether it may stay.",
    "method": "How it was grafted.",
    "wrap": "What holds it together; some wraps must come off in time.",
    "seal": "What keeps the wound from drying out.",
    "set_on": "When it was grafted: the day, or the month or year if no more is known.",
    "wood": "The id of the bundle that the scion came from.",
    "facing": "On which side of the trunk it stands.",
    "height_m": "How high it stands: above your reach the cautions for height stand beside its jobs.",
    "out_m": "How far from the trunk it stands.",
    "ripens_from": "When the fruit begins to be ripe.",
    "ripens_to": "When the fruit is over.",
    "chill": "How much cold its buds want.",
    "sticks": "How many sticks are in the bundle.",
    "cut_on": "The day on which it was cut; its age counts from it.",
    "came_from": "Whence the wood came.",
    "asked_on": "The day on which you asked somebody for it.",
    "answer": "What that person said.",
    "mother_years": "How old the tree is said to be that it was cut from.",
    "mother_health": "How healthy that tree is said to be.",
    "health_by": "Who says so, or tested it, and when.",
    "kept": "Where it is kept.",
    "promised_to": "Who is to have some of it.",
    "promised_sticks": "How many of the sticks are promised.",
    "day": "The day on which it was tasted.",
    "ripe": "How ripe it was.",
    "use": "What it is good for.",
    "group": "When it blooms among the others.",
    "note": "Anything else.",
    "what": "Jobs hang on the words offered; a word of your own is kept.",
    "product": "The same product and day again completes what is noted.",
    "days_to_return": "Until it is known, the tree stays barred.",
    "days_to_harvest": "Until it is known, the fruit stays barred.",
    "also": "It is found under these, too.",
    "bloom": "When it blooms among the others of its species; group 3 is the middle.",
    "pollen": "Whether it has good pollen, and sets fruit by its own.",
    "ripens": "Its days, or how many days before or after another variety.",
    "keeps": "How long its fruit keeps.",
    "vigour": "How strongly it grows; pruning goes by it until growth is noted.",
    "source": "Whose word all this is.",
}
_HELP_OF = {
    ("trees", "spread_m"): "How wide its crown is; empty if that is not known.",
    ("grafts", "species"): "Only where it is another than the tree's, such as a medlar on a quince.",
    ("trees", "height_m"): "How high its crown reaches; empty if that is not known.",
    ("troubles", "day"): "The day on which it was seen.",
    ("troubles", "tree"): "The trees, by id or name, with commas between them.",
    ("sprays", "day"): "The day on which it was sprayed.",
    ("sprays", "tree"): "The trees, by id or name, with commas between them.",
    ("varieties", "use"): "What it is good for.",
}


class FormField(Struct, frozen=True):
    """One line of a form: the field of the record, what it is called, its text, the words offered, and a hint.

    `kind` is that of the record, where the field means something of its own there.
    """

    name: str
    label: str
    text: str = ""
    choices: tuple[str, ...] = ()
    hint: str = ""
    kind: str = ""


def form_field(name: str, records: Records, text: str = "", units: str = "metric", kind: str = "") -> FormField:
    """A field of a form; the words offered are the trade's and those in use."""
    hint = _HINTS.get(name, "")
    if units == "us" and name in LENGTHS:
        hint = hint.replace("metres", "8 ft, or metres")
    return FormField(name, field_label(name, kind), text, field_choices(name, records), hint, kind)


def field_label(name: str, kind: str = "") -> str:
    """What a form calls a field: "set on" for set_on."""
    return _LABELS_OF.get((kind, name)) or _LABELS.get(name, name)


def field_help(name: str, hint: str, choices: tuple[str, ...], kind: str = "") -> str:
    """What a field is for, how it is written, and which words it offers."""
    said = [_HELP_OF.get((kind, name)) or _HELP.get(name, "")]
    if choices:
        said.append(f"Offered: {', '.join(choices[:_OFFERED])}{', ...' if len(choices) > _OFFERED else ''}.")
    elif hint:
        said.append(f"{hint[0].upper()}{hint[1:]}.")
    return " ".join(filter(None, said))


def field_choices(name: str, records: Records) -> tuple[str, ...]:
    """The words that a field offers, the trade's own before those in use."""
    fixed = {"state": GRAFT_STATES, "verdict": VERDICTS, "species": SPECIES, "ripe": RIPENESS}
    fixed |= {"answer": ANSWERS, "mother_health": MOTHER_HEALTH}
    if name in fixed:
        return fixed[name]
    trees = {"stock": (), "interstem": (), "form": FORMS}
    if name in trees:
        return _distinct((*trees[name], *(getattr(tree, name) for tree in records.trees)))
    trade = {"method": METHODS, "wrap": WRAPS, "seal": SEALS, "use": USES}
    if name in trade:
        held: Iterable[Any] = records.tastings if name == "use" else records.grafts
        return _distinct((*trade[name], *(getattr(record, name) for record in held)))
    if name == "what":
        return _distinct((*SIGNS, *(trouble.what for trouble in records.troubles)))
    if name == "product":
        return _distinct(sorted((spray.product for spray in records.sprays), key=str.casefold))
    if name == "tree":
        return tuple(tree.id for tree in records.trees)
    if name == "wood":
        return tuple(bundle.id for bundle in records.wood)
    if name == "pollen":
        return POLLEN
    if name == "vigour":
        return GROWTH
    if name == "variety":
        held_varieties = [graft.variety for graft in records.grafts] + [bundle.variety for bundle in records.wood]
        return _distinct(sorted(held_varieties, key=str.casefold))
    if name in ("kept", "came_from", "promised_to", "health_by"):
        return _distinct(getattr(bundle, name) for bundle in records.wood)
    return ()


def field_text(name: str, value: object, units: str = "metric") -> str:
    """The value of a field as a form shows it: ISO days, MM-DD, feet where the orchard has feet; "" for nothing."""
    if value is None or value == "":
        return ""
    if isinstance(value, RoughDate):
        return date_text(value)
    if isinstance(value, tuple):
        return f"{value[0]:02d}-{value[1]:02d}"
    if name == "facing" and isinstance(value, int):
        return facing_text(value)
    if name in LENGTHS:
        return in_units(f"{value:g} m", units) if units == "us" else f"{value:g}"
    return str(value)


def completed(text: str, choices: tuple[str, ...]) -> str:
    """The word that `text` is the beginning of, or else the initials of; as it stands where it ends in a blank."""
    wanted = text.casefold()
    if not wanted or text in choices or text.endswith(" "):
        return text
    for choice in choices:
        if choice.casefold().startswith(wanted):
            return choice
    initials = (choice for choice in choices if "".join(word[0] for word in choice.casefold().split()) == wanted)
    return next(initials, text) if len(wanted) > 1 else text


def _distinct(words: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(word for word in words if word))
