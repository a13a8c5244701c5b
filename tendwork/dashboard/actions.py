"""The one table of what can be done: it feeds the key bindings, the key line, the palette and the help."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

if TYPE_CHECKING:
    from textual.binding import Binding

EVERYWHERE = "everywhere"
MORNING = "morning"
SEASON = "season"
TREES = "trees"
WOOD = "wood"
FRUIT = "fruit"
TEMPLATES = "templates"
TEMPERATURES = "temperatures"
GRAFT = "graft"
PAGE = "page"
FORM = "form"
GRAFTING_DAY = "grafting_day"
WRAPS = "wraps"
QUESTIONS = "questions"


class Action(Struct, frozen=True):
    """One thing to do: `keys` as Textual names them, `on` the screen that does it, `shown` whose key lines have it."""

    name: str
    keys: tuple[str, ...]
    label: str
    help: str
    on: str = EVERYWHERE
    shown: tuple[str, ...] = ()

    @property
    def id(self) -> str:
        """The screen and the name, "wood.mark": what a person's own keys are put under."""
        return f"{self.on}.{self.name}"


SCREENS = (MORNING, SEASON, TREES, WOOD, FRUIT, TEMPLATES, TEMPERATURES, GRAFT)
"""In the order of the top line. An action whose name is that of a screen goes there."""

ACTIONS: tuple[Action, ...] = (
    Action(
        "tick",
        ("space",),
        "tick",
        "Tick all that is marked, else the chosen unit or part, or all of the line while the list has the cursor.",
        MORNING,
        (MORNING,),
    ),
    Action("tick_and_note", ("n",), "note", "Tick the same, and say how it went or write a note.", MORNING),
    Action("mark", ("m",), "mark", "Mark the unit, the part or the whole line, to tick or skip many at once.", MORNING),
    Action("skip", ("x",), "skip", "Skip the same, and say why.", MORNING),
    Action("put_off", ("p",), "put off", "Leave what is marked, or chosen, for another day.", MORNING),
    Action("leave_out", ("l",), "not here", "Leave this job out: for this tree, this season, or for good.", MORNING),
    Action("arrange", ("b",), "days", "Show the week day by day, or by urgency again.", MORNING),
    Action("unfold", ("e",), "all jobs", "Show also what can wait, where that is much, or fold it again.", MORNING),
    Action("changed", ("d",), "news", "All that changed since the last day with a plan, and why.", MORNING),
    Action(
        "take_back",
        ("u",),
        "undo",
        "Undo the tick under the cursor, else the last thing done.",
        MORNING,
        (MORNING,),
    ),
    Action("why", ("w",), "why", "Why this job, on these dates.", MORNING, (MORNING,)),
    Action("cautions", ("c",), "cautions", "The caution cards of this job.", MORNING, (MORNING,)),
    Action(
        "wraps",
        ("o",),
        "wraps",
        "Every wrap that is still on, the oldest first, and what is not noted; tick many at once.",
        MORNING,
        (MORNING,),
    ),
    Action(
        "questions",
        ("a",),
        "answer",
        "What is not known of grafts that came in, and the jobs that you never do: answered for many at once.",
        MORNING,
    ),
    Action(
        "other_course",
        ("c",),
        "chill or heat",
        "Show chill instead of heat, and back; a wide screen shows both.",
        TEMPERATURES,
        (TEMPERATURES,),
    ),
    Action("next_species", ("b",), "buds", "Show the buds of the next species.", TEMPERATURES, (TEMPERATURES,)),
    Action(
        "nearer", ("plus", "equals_sign"), "nearer", "Show the time until six weeks on.", TEMPERATURES, (TEMPERATURES,)
    ),
    Action("wider", ("minus",), "whole", "Show the whole course to its end.", TEMPERATURES, (TEMPERATURES,)),
    Action(
        "fetch",
        ("g",),
        "fetch",
        "Say what the weather services of the site file would be sent; pressed again, ask them.",
        TEMPERATURES,
        (TEMPERATURES,),
    ),
    Action("copy", ("y",), "copy", "Copy what the cursor is on as text, and write it to a file."),
    Action("earlier", ("left",), "earlier", "Go a season, a month or a week back.", SEASON, (SEASON,)),
    Action("later", ("right",), "later", "Go a season, a month or a week on.", SEASON, (SEASON,)),
    Action("nearer", ("plus", "equals_sign"), "nearer", "From the season to the month, and to the week.", SEASON),
    Action("wider", ("minus",), "wider", "From the week to the month, and to the season.", SEASON),
    Action("now", ("n",), "today", "Go to the span that today stands in.", SEASON, (SEASON,)),
    Action("unfold", ("a",), "all jobs", "Show the jobs of all parts, or the parts alone.", SEASON, (SEASON,)),
    Action("why", ("w",), "why", "Why this job, on these dates; on a twig, all its stages.", SEASON),
    Action(
        "report",
        ("h",),
        "report",
        "How the season went that is shown, or else the one of the last crop: to read, copy or write to a file.",
        SEASON,
    ),
    Action("change", ("e",), "change", "Change the marked grafts, or what the cursor is on.", TREES, (TREES,)),
    Action("mark", ("space",), "mark", "Mark the graft, to act on many at once; on a tree, all its grafts.", TREES),
    Action("mark_all", ("asterisk",), "mark all", "Mark every graft that shows, or take all marks away.", TREES),
    Action("add", ("a",), "add", "Add a graft to this tree.", TREES, (TREES,)),
    Action("add_tree", ("n",), "new tree", "Add a tree.", TREES),
    Action("grafting_day", ("g",), "grafting day", "Set one graft after the other on this tree.", TREES, (TREES,)),
    Action("taste", ("k",), "taste", "Record a tasting of its fruit.", TREES),
    Action("judge", ("v",), "verdict", "Give a verdict: on trial, keep or cut.", TREES),
    Action("move", ("m",), "move", "Note another place: on another tree, or elsewhere in the crown.", TREES),
    Action("split", ("l",), "split", "Record a second place of what was noted as one graft.", TREES),
    Action("trouble", ("d",), "disease", "Record a sign of disease on the trees of the marked grafts, or here.", TREES),
    Action("spray", ("w",), "spray", "Record a spray on the trees of the marked grafts, or on this tree.", TREES),
    Action("remove", ("x",), "remove", "Remove the record; for a limb that came off, change its state instead.", TREES),
    Action("picture", ("p",), "crown", "Go into the picture of the crown; from there, back.", TREES, (TREES,)),
    Action("order", ("o",), "order", "Order the grafts by the next column.", TREES),
    Action("change", ("e",), "change", "Change the marked bundles, or the one under the cursor.", WOOD, (WOOD,)),
    Action("mark", ("space",), "mark", "Mark the bundle, to act on many at once.", WOOD),
    Action("mark_all", ("asterisk",), "mark all", "Mark every bundle that shows, or take all marks away.", WOOD),
    Action("add", ("a",), "add", "Add a bundle of wood, cut or still to come.", WOOD, (WOOD,)),
    Action("checked", ("k",), "checked", "Say what a look at the stored wood found.", WOOD, (WOOD,)),
    Action("ask", ("w",), "ask", "Note whom you asked for it, on which day, and for how many sticks.", WOOD),
    Action("answer", ("v",), "answer", "Note what was answered, and what is said of the mother tree.", WOOD),
    Action("split", ("l",), "split", "Put some of its sticks into a new bundle.", WOOD),
    Action("remove", ("x",), "remove", "Remove the record of the bundle.", WOOD),
    Action("order", ("o",), "order", "Order the rows by the next column.", WOOD),
    Action("page", ("right",), "page", "The next page: the bundles, and the balance.", WOOD, (WOOD,)),
    Action("page_back", ("left",), "page back", "The page before it.", WOOD),
    Action("taste", ("space",), "taste", "Record a tasting: a number takes the score.", FRUIT, (FRUIT,)),
    Action("judge", ("v",), "verdict", "Give the verdict: on trial, keep or cut.", FRUIT, (FRUIT,)),
    Action("in_bloom", ("n",), "in bloom", "Note that the chosen variety is in full bloom today.", FRUIT),
    Action("bloom_group", ("b",), "bloom group", "Note the bloom group of the chosen variety.", FRUIT),
    Action("add", ("a",), "add variety", "Note what is known of another variety.", FRUIT),
    Action("remove", ("x",), "remove", "Remove your record of the variety; what lists say of it stays.", FRUIT),
    Action("mark", ("m",), "mark", "Mark the graft, to judge many at once.", FRUIT),
    Action("mark_all", ("asterisk",), "mark all", "Mark every graft that shows, or take all marks away.", FRUIT),
    Action("order", ("o",), "order", "Order the rows by the next column.", FRUIT),
    Action("page", ("right",), "page", "The next page: tasting, verdict, ripening, bloom and more.", FRUIT, (FRUIT,)),
    Action("page_back", ("left",), "page back", "The page before it.", FRUIT),
    Action("change", ("e",), "change", "Change what is noted of the chosen variety.", FRUIT, (FRUIT,)),
    *(
        Action("undo", ("u",), "undo", "Undo the last thing done; again, the one before it.", screen)
        for screen in (TREES, WOOD, FRUIT)
    ),
    Action(
        "pin",
        ("space",),
        "pin",
        "Pin what is proposed for the place, or the chosen candidate to it, so that it stays; or let it go again.",
        GRAFT,
        (GRAFT,),
    ),
    Action(
        "forbid",
        ("x",),
        "forbid",
        "Forbid the place, or the chosen candidate everywhere; or allow it again.",
        GRAFT,
        (GRAFT,),
    ),
    Action("forbid_here", ("d",), "not here", "Forbid this variety at this place alone, or allow it again.", GRAFT),
    Action(
        "swap",
        ("m",),
        "swap",
        "Swap what is proposed here with another place; what that costs is said before.",
        GRAFT,
        (GRAFT,),
    ),
    Action("more", ("plus", "equals_sign"), "more", "One new graft more.", GRAFT, (GRAFT,)),
    Action("fewer", ("minus",), "fewer", "One new graft fewer.", GRAFT),
    Action("limit", ("n",), "limits", "Say how many new grafts, or how many hours of grafting, at most.", GRAFT),
    Action("accept", ("a",), "accept", "Plan these grafts, in one act that undo takes back.", GRAFT, (GRAFT,)),
    Action("undo", ("u",), "undo", "Undo your last wish; with none, the last thing done.", GRAFT, (GRAFT,)),
    Action("start_over", ("z",), "start over", "Drop all that you pinned, forbade and limited.", GRAFT),
    Action("read", ("w",), "whole", "Read the whole proposal: reasons, wood, what goes nowhere, what to know.", GRAFT),
    Action("order", ("o",), "order", "Order the candidates by the next column.", GRAFT),
    Action("picture", ("p",), "crown", "Go into the picture of the crown; from there, back.", GRAFT),
    Action("page", ("right",), "candidates", "From the places to the candidates, and to the crown.", GRAFT),
    Action("page_back", ("left",), "back", "The other way round.", GRAFT),
    Action("much_less", ("underscore",), "much less", "A week earlier, or much less; also shift+left.", TEMPLATES),
    Action("less", ("minus",), "less", "A day earlier, or one less; also left. In the list, the window.", TEMPLATES),
    Action("more", ("plus", "equals_sign"), "more", "A day later, or one more; also right.", TEMPLATES),
    Action("much_more", ("asterisk",), "much more", "A week later, or much more; also shift+right.", TEMPLATES),
    Action("read", ("w",), "whole", "Read the chosen template as a whole.", TEMPLATES),
    Action(
        "turn",
        ("space",),
        "yes or no",
        "Turn a yes to no, a weather limit off; in the list, leave the template out.",
        TEMPLATES,
    ),
    Action(
        "leave_out",
        ("l",),
        "not here",
        "Leave the chosen template out, for a tree, this season or for good; or bring back what is left out of it.",
        TEMPLATES,
    ),
    Action("only_left_out", ("a",), "left out", "Show only what is left out, or all templates again.", TEMPLATES),
    Action("save", ("ctrl+s",), "save", "Keep what is changed, and update the plan.", TEMPLATES, (TEMPLATES,)),
    Action(
        "take_draft_back",
        ("u",),
        "undo",
        "Undo the last change; with nothing unsaved, the last save.",
        TEMPLATES,
        (TEMPLATES,),
    ),
    Action(
        "own",
        ("o",),
        "own value",
        "Back to the template's own value; in the list, to all its own values.",
        TEMPLATES,
        (TEMPLATES,),
    ),
    Action("all_own", ("O",), "all own", "All templates and the site back to their own.", TEMPLATES),
    Action(
        "filter",
        ("slash",),
        "filter",
        "Show only what has these words in it.",
        shown=(SEASON, TREES, WOOD, FRUIT, TEMPLATES),
    ),
    Action("write", ("f",), "to a file", "Write all that the screen shows into a file, as text."),
    Action("saw", ("s",), "buds", "Record a bud stage that you saw.", shown=(MORNING,)),
    Action("update", ("r",), "update", "Read the folder again and update the plan."),
    Action("morning", ("1",), "Morning", "Go to Morning: today, the buds and this week's jobs."),
    Action("season", ("2",), "Season", "Go to Season: the year as a strip of windows and buds, and earlier seasons."),
    Action("trees", ("3",), "Trees", "Go to Trees: every tree, the grafts on it, and its crown from above."),
    Action("wood", ("4",), "Wood", "Go to Wood: the bundles, how long they keep, and whether there is enough."),
    Action("fruit", ("5",), "Fruit", "Go to Fruit: tastings, what ripens when, what to keep and what to cut."),
    Action("templates", ("6",), "Templates", "Go to Templates: adjust them for this site, and see the dates move."),
    Action(
        "temperatures", ("7",), "Temperatures", "Go to Temperatures: heat and chill against other years, and the days."
    ),
    Action("graft", ("8",), "Graft", "Go to Graft: what to graft where next spring, proposed for you to change."),
    Action(
        "colours",
        ("t",),
        "colours",
        "Change the colours: dark, light, for colour-blind eyes, the terminal's own.",
    ),
    Action(
        "command_palette",
        ("full_stop", "ctrl+p"),
        "all",
        "Every action, and every job, tree and graft by name.",
        shown=SCREENS,
    ),
    Action("help", ("question_mark", "f1"), "help", "The keys that work here, then all keys and marks.", shown=SCREENS),
    Action("leave", ("q",), "leave", "Leave the program; what is not saved yet is asked about.", shown=SCREENS),
    Action("copy", ("y",), "copy", "Copy the page.", PAGE),
    Action("write", ("f",), "to a file", "Write the page into a file, as text.", PAGE),
    Action("save", ("ctrl+s",), "save", "Save the form as it is written; on grafting day, set the graft.", FORM),
    Action("help", ("f1",), "help", "Show what a form takes, and the keys.", FORM),
    Action("tick", ("space",), "tick", "Say how it is with the marked wraps, or with the one under the cursor.", WRAPS),
    Action("mark", ("m",), "mark", "Mark the wrap, to tick many at once; on a tree, all its wraps.", WRAPS),
    Action("undo", ("u",), "undo", "Undo the last thing done.", WRAPS),
    Action("note_wrap", ("n",), "note wrap", "Note what the marked grafts, or the chosen one, are wrapped in.", WRAPS),
    Action("copy", ("y",), "copy", "Copy the list.", WRAPS),
    Action("write", ("f",), "to a file", "Write the list into a file, as text.", WRAPS),
    Action("undo", ("u",), "undo", "Undo the last answer, or whatever was done last.", QUESTIONS),
    Action("mark", ("space",), "mark", "Mark the line, or take its mark away.", QUESTIONS),
    Action("mark_all", ("asterisk",), "mark all", "Mark every line, or take all marks away.", QUESTIONS),
    Action("take_back", ("ctrl+z",), "back", "Take back the graft that was set last.", GRAFTING_DAY),
)

KEY_WORDS = {
    "slash": "/",
    "question_mark": "?",
    "full_stop": ".",
    "f1": "F1",
    "minus": "-",
    "plus": "+",
    "equals_sign": "=",
    "underscore": "_",
    "asterisk": "*",
    "left": "←",
    "right": "→",
}


class Keys(Struct, frozen=True):
    """The table as this person has it: every action with the keys that do it."""

    actions: tuple[Action, ...] = ACTIONS

    def on(self, *places: str) -> tuple[Action, ...]:
        """The actions of these screens."""
        return tuple(action for action in self.actions if action.on in places)

    def action(self, identity: str) -> Action:
        """An action by its id. Raises StopIteration for an id that stands nowhere in the table."""
        return next(action for action in self.actions if action.id == identity)

    def word(self, identity: str) -> str:
        """The first key of an action, as a person reads it."""
        return key_word(self.action(identity).keys[0])

    def moved(self, changes: dict[str, tuple[str, ...]]) -> Keys:
        """The table with other keys for some ids."""
        return Keys(tuple(replace(action, keys=changes.get(action.id, action.keys)) for action in self.actions))

    def keymap(self) -> dict[str, str]:
        """What Textual must know of it: the keys of each id that are not the usual ones."""
        usual = {action.id: action.keys for action in ACTIONS}
        return {action.id: ",".join(action.keys) for action in self.actions if action.keys != usual[action.id]}


def key_word(key: str) -> str:
    """One key as a person reads it: "?" for question_mark."""
    return KEY_WORDS.get(key, key)


def key_words(action: Action) -> str:
    """The keys as a person reads them: "?, F1"."""
    return ", ".join(map(key_word, action.keys))


def place_words(place: str) -> str:
    """A screen's name as a person reads it: "grafting day"."""
    return place.replace("_", " ").capitalize()


def to_run(action: Action) -> str:
    """What Textual runs for an action."""
    return f"switch_mode('{action.name}')" if action.name in SCREENS else action.name


def run_words(action: Action) -> str:
    """The same with the one who does it, for what is pressed or chosen from a list."""
    return f"{'app' if action.on == EVERYWHERE else 'screen'}.{to_run(action)}"


def bindings(on: str) -> list[Binding]:
    """The bindings of one screen, or of the whole program; each has its id, so that a key can be put elsewhere."""
    from textual.binding import Binding

    return [
        Binding(key, to_run(action), action.label, show=False, id=action.id)
        for action in ACTIONS
        if action.on == on
        for key in action.keys
    ]
