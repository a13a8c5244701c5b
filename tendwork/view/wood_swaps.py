"""What to write to other growers about wood, and what to pack for them: text to copy, which nobody sends for you."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta

from tendwork.orchard.mother_trees import MotherTrees
from tendwork.orchard.named_templates import ASK_FOR_BUD_STICKS, ASK_FOR_WOOD, REMIND_OF_WOOD
from tendwork.orchard.records import PROMISED, Records, Wood
from tendwork.orchard.variety_keys import variety_keys
from tendwork.orchard.wood_wishes import BUDS_TO_ASK_FOR, TO_ASK_FOR, UNANSWERED, Wish
from tendwork.orchard.wording import NOBODY_NOTED
from tendwork.planning.results import Task
from tendwork.planning.states import ACTIONABLE
from tendwork.planning.vocabulary import Card
from tendwork.planning.wood_offers import Offer
from tendwork.planning.wood_parcels import Origins, Parcel, label_words
from tendwork.variety_names import Key
from tendwork.view.json_shape import Shape, json_rows
from tendwork.view.text import plain, wrapped
from tendwork.view.words import counted, full_day

HEALTH_ASKED = (
    "Please tell me how old the mother tree is, how healthy, and whether it was ever tested or certified. No wood,"
    " please, of a tree with fire blight this year, mosaic leaves, rings, canker, gum or dieback."
)
STICKS_ASKED = (
    "Last summer's shoots, about pencil thick, in sticks of 20 to 30 cm; the name and the species on every bundle."
)
BUD_STICKS_ASKED = (
    "Shoots of this summer with ripe, well-filled buds, cut shortly before they go, the leaves taken off and"
    " their stalks left on, in a damp cloth in a bag; the name and the species on every bundle."
)
BORDER_ASKED = "If it crosses a state or national border, let us ask our plant-health authority first."
PACKING = (
    (
        "Wrap the sticks of each variety in paper that is damp and wrung out, never dripping.",
        "Kansas State University, Collect Scion Wood Now, undated; LWG Bavarian Garden Academy, 2023",
    ),
    (
        "Put a label inside the bag and one outside; nobody takes wood without a name.",
        "CRFG Central Coast, Contributing scions, undated",
    ),
    (
        "Close the bag, and put it into a padded envelope.",
        "growingfruit.org, Scion sending protocol, undated",
    ),
    (
        "Post it in cool weather, so that somebody is there to take it in and puts it into the cold at once.",
        "growingfruit.org, Preparing scions for shipping, undated",
    ),
)
"""What to do with a parcel, each with who says so."""


def closing_days(tasks: Iterable[Task], wishes: Iterable[Wish], records: Records, today: date) -> dict[Wish, date]:
    """The day by which each wish is to be asked for, where a job says one; buds only while it is time to ask for them.

    The day of winter wood is that of the season of asking that is next.
    """
    keys, found = variety_keys(records), dict[tuple[bool, Key], date]()
    for task in tasks:
        of_buds = task.template in ASK_FOR_BUD_STICKS
        if task.template not in ASK_FOR_WOOD and not of_buds:
            continue
        for unit in task.units:
            if unit.window.lapses >= today and (not of_buds or unit.state in ACTIONABLE):
                key = of_buds, keys.of(unit.species, unit.variety)
                found[key] = min(unit.window.closes, found.get(key, date.max))
    sought = ((wish, (wish.state == BUDS_TO_ASK_FOR, keys.of(wish.species, wish.variety))) for wish in wishes)
    return {wish: found[key] for wish, key in sought if key in found}


def reminding_days(tasks: Iterable[Task], today: date) -> dict[str, date]:
    """The day from which the giver of each bundle is to be reminded, by its id."""
    units = (unit for task in tasks if task.template == REMIND_OF_WOOD for unit in task.units)
    return {unit.id: unit.window.opens for unit in units if unit.window.lapses >= today}


def ask_text(
    wishes: Sequence[Wish],
    closes: Mapping[Wish, date],
    today: date,
    width: int,
    remind: Mapping[str, date] | None = None,
) -> str:
    """A message for each person of whom wood is to be asked, or who is to be reminded, and what was asked or promised.

    `closes` has the day by which a wish is to be asked for, `remind` the day from which the giver of a bundle is to be
    reminded, by its id; of others it is the day after the asking.
    """
    parts = [_ask_for_buds(who, held, closes, today, width) for who, held in _buds_by_person(wishes, closes)]
    unanswered = [wish for wish in wishes if wish.state == UNANSWERED]
    due = [wish for wish in unanswered if wish.who and _remind_from(wish, remind or {}, today) <= today]
    for who, held in _by_person(wish for wish in wishes if wish.state == TO_ASK_FOR).items():
        lines = _heading(f"To ask of {who or NOBODY_NOTED}", width)
        if not who:
            lines += wrapped("Nobody is noted who gave these before: ask around, and note whom you asked.", width)
        lines += ["", "Hello,", "could you cut dormant scion wood for me this winter?"]
        for wish in held:
            lines += wrapped(f"{_what(wish)}{_by(wish, closes, today)}", width, "- ", "  ")
        for sentence in (STICKS_ASKED, HEALTH_ASKED, BORDER_ASKED, "Thank you!"):
            lines += wrapped(sentence, width)
        parts.append("\n".join(lines))
    for who, held in _by_person(due).items():
        lines = [*_heading(f"To remind: {who}", width), "", "Hello,"]
        lines += wrapped("may I remind you of the scion wood that I asked you for?", width)
        for wish in held:
            asked = f", asked on {full_day(wish.asked_on)}" if wish.asked_on else ""
            lines += wrapped(f"{_what(wish)}{asked}", width, "- ", "  ")
        parts.append("\n".join([*lines, "Can you cut it? A no helps me too. Thank you!"]))
    waiting = [wish for wish in unanswered if wish not in due]
    if waiting:
        lines = _heading("Asked for, no answer yet", width)
        for wish in waiting:
            day = _remind_from(wish, remind or {}, today)
            then = f"remind them from {full_day(day)}" if wish.who else "note on Wood whom you asked"
            lines += wrapped(f"{_what(wish)}, of {plain(wish.who) or NOBODY_NOTED}; {then}", width, "- ", "  ")
        parts.append("\n".join(lines))
    promised = [wish for wish in wishes if wish.state == PROMISED]
    if promised:
        lines = _heading("Promised to you, and not here yet", width)
        for wish in promised:
            lines += wrapped(f"{_what(wish)}, of {plain(wish.who) or NOBODY_NOTED}", width, "- ", "  ")
        parts.append("\n".join(lines))
    return "\n\n".join(parts) or "No wood is to be asked for: trees here, bundles and promises cover what is planned."


def _buds_by_person(wishes: Iterable[Wish], closes: Mapping[Wish, date]) -> Iterable[tuple[str, list[Wish]]]:
    """The bud sticks that are to be asked for now."""
    now = (one for one in wishes if one.state == BUDS_TO_ASK_FOR and one in closes)
    return _by_person(now).items()


def _ask_for_buds(who: str, held: Iterable[Wish], closes: Mapping[Wish, date], today: date, width: int) -> str:
    lines = _heading(f"To ask of {who or NOBODY_NOTED}, for bud sticks", width)
    if not who:
        lines += wrapped("Nobody is noted who gave these before: ask around.", width)
    lines += ["", "Hello,", "could you cut bud sticks for me this summer, when I am ready to bud?"]
    for wish in held:
        day = closes[wish]
        by = f", from about {full_day(day)}" if day >= today else ", as soon as you can"
        lines += wrapped(f"{_what(wish)}{by}", width, "- ", "  ")
    for sentence in (BUD_STICKS_ASKED, HEALTH_ASKED, BORDER_ASKED, "Thank you!"):
        lines += wrapped(sentence, width)
    return "\n".join(lines)


def offer_text(offers: Sequence[Offer], width: int) -> str:
    """One message that offers what may be given, then what is promised to whom, and what is not to be given."""
    giving = [offer for offer in offers if offer.trees]
    parts = []
    if giving:
        lines = [*_heading("To offer", width), "", "Hello,", "this winter I can cut dormant scion wood of:"]
        for offer in giving:
            lines += wrapped(plain(f"{offer.variety}, {offer.species} ({_trees(offer)})"), width, "- ", "  ")
        carries = dict.fromkeys(words for offer in giving for words in offer.carries)
        for sentence in (*map(plain, carries), BORDER_ASKED):
            lines += wrapped(sentence, width)
        parts.append("\n".join(lines))
    promised = [(who, sticks, offer) for offer in offers for who, sticks in offer.promised]
    if promised:
        lines = _heading("Promised already", width)
        for who, sticks, offer in promised:
            words = f"{who or NOBODY_NOTED}: {counted(sticks, 'stick')} of {offer.variety}, {offer.species}"
            lines += wrapped(plain(words), width, "- ", "  ")
        parts.append("\n".join(lines))
    barred = [offer for offer in offers if offer.barred]
    if barred:
        lines = _heading("Not to be given", width)
        for offer in barred:
            lines += wrapped(plain(f"{offer.variety}, {offer.species}: {' '.join(offer.barred)}"), width, "- ", "  ")
        parts.append("\n".join(lines))
    return "\n\n".join(parts) or 'Nothing is judged "keep" yet, so there is nothing to offer.'


def pack_text(parcels: Sequence[Parcel], records: Records, card: Card | None, today: date, width: int) -> str:
    """What to pack for each person, how, and what to ask before wood crosses a border."""
    if not parcels:
        return "No wood is promised to anybody."
    parts, origins, mothers = [], Origins(records.trees), MotherTrees(records)
    for parcel in parcels:
        lines = _heading(f"For {parcel.who or NOBODY_NOTED}", width)
        for bundle in parcel.bundles:
            lines += _packed(bundle, parcel, origins, mothers.notes(bundle, today), width)
        parts.append("\n".join(lines))
    lines = _heading("How to pack", width)
    for sentence, source in PACKING:
        lines += wrapped(f"{sentence} ({source})", width, "- ", "  ")
    parts.append("\n".join(lines))
    if card is not None:
        lines = _heading(plain(card.title), width)
        for sentence in (card.line, *card.points, card.defer):
            lines += wrapped(plain(sentence), width, "- ", "  ")
        parts.append("\n".join(lines))
    return "\n\n".join(parts)


def swaps_shape(wishes: Sequence[Wish], offers: Sequence[Offer], parcels: Sequence[Parcel]) -> Shape:
    """The same for `wood --json`: "ask", "offer" and "pack"."""
    return {"ask": json_rows(wishes), "offer": json_rows(offers), "pack": json_rows(parcels)}


def _packed(bundle: Wood, parcel: Parcel, origins: Origins, notes: Iterable[str], width: int) -> list[str]:
    where = f", kept {bundle.kept}" if bundle.kept else ""
    short = bundle.promised_sticks - bundle.sticks
    there = counted(bundle.sticks, "stick")
    state = f"only {there} in it, {short} missing" if short > 0 else f"of {there}"
    state = f"still to cut{f': {state}' if short > 0 else ''}" if bundle.cut_on is None else f"{state}{where}"
    said = f"{counted(bundle.promised_sticks, 'stick')} of {bundle.variety} ({bundle.id}), {state}"
    lines = wrapped(plain(said), width, "- ", "  ")
    if bundle.id in parcel.barred:
        return lines + wrapped("barred, for disease on its tree: give none of it away.", width, "  ", "  ")
    lines += wrapped(plain(label_words(bundle, origins)), width, "  label: ", "    ")
    for note in notes:
        lines += wrapped(plain(note), width, "  ", "  ")
    return lines


def _remind_from(wish: Wish, remind: Mapping[str, date], today: date) -> date:
    """The day from which a giver is to be reminded: as the job has it, else the day after the asking."""
    asked_on = today - timedelta(days=1) if wish.asked_on is None else wish.asked_on
    return remind.get(wish.bundle, asked_on + timedelta(days=1))


def _by_person(wishes: Iterable[Wish]) -> dict[str, list[Wish]]:
    """The wishes by whom they are asked of; those of nobody known last."""
    found: dict[str, list[Wish]] = {}
    for wish in wishes:
        found.setdefault(wish.who, []).append(wish)
    return {who: found[who] for who in sorted(found, key=lambda who: (not who, who.casefold()))}


def _heading(words: str, width: int) -> list[str]:
    lines = wrapped(plain(words), width)
    return [*lines, "-" * min(width, max(map(len, lines)))]


def _what(wish: Wish) -> str:
    return plain(f"{wish.variety}, {wish.species}: {counted(wish.sticks, 'stick')}")


def _by(wish: Wish, closes: Mapping[Wish, date], today: date) -> str:
    """ ", by 31 December, before it is cut"; empty where no job says a day."""
    day = closes.get(wish)
    if day is None:
        return ", before it is cut"
    return f", by {full_day(day)}, before it is cut" if day >= today else ", at once: it is being cut now"


def _trees(offer: Offer) -> str:
    """ "Young apple, planted in 2015"."""
    return "; ".join(f"{name}, planted in {year}" if year else f"{name}, year not noted" for name, year in offer.trees)
