"""What moving and pressing mean where the cursor is: the help of each widget that can have it, in one table."""

from __future__ import annotations

from msgspec import Struct
from textual.dom import DOMNode


class Moves(Struct, frozen=True):
    """What a person calls the widget, and its own keys with what they do."""

    name: str
    keys: tuple[tuple[str, str], ...]


_ROWS = (
    ("up, down", "Go from row to row; page up, page down, home and end go further."),
    ("mouse", "Press a row to choose it, and again for what can be done with it; press its left edge to mark it."),
)
_PICK = (
    ("up, down", "Go from line to line."),
    ("enter", "Take the line under the cursor."),
    ("mouse", "Press a line."),
)
_SCROLL = (("up, down", "Scroll; page up, page down, home and end go further."), ("mouse", "Turn the wheel."))

# By the name of the widget's class, or of the class it is made from.
MOVES = {
    "JobList": Moves(
        "the list of jobs",
        (
            ("up, down", "Go from job to job."),
            ("enter", "Go into the job, to its parts and units; on the last line of a long list, show the rest."),
            ("escape", "Take the marks away, then the filter."),
            ("mouse", "Press a job to choose it, and again to go into it."),
        ),
    ),
    "UnitList": Moves(
        "the parts and units of the job",
        (
            ("up, down", "Go from line to line."),
            ("enter", "Tick the unit, or all of the part."),
            ("escape", "Go back to the list of jobs."),
            ("mouse", "Press a line to choose it, and again to tick it."),
        ),
    ),
    "JobPanel": Moves("the chosen job", _SCROLL),
    "SeasonList": Moves(
        "the rows of the season",
        (
            ("up, down", "Go from row to row."),
            ("enter", "Unfold a part of the work; go to a job of this week, or read about it; read about the buds."),
            ("mouse", "Press a row to choose it, and again for the same as enter."),
        ),
    ),
    "RowList": Moves("the rows", (*_ROWS, ("enter", "Choose among all that can be done with the row."))),
    "PlaceList": Moves(
        "the places",
        (
            ("up, down", "Go from place to place; page up, page down, home and end go further."),
            ("enter", "Go to the candidates, to choose one for this place."),
            ("mouse", "Press a place to choose it, and again to go to the candidates; press its left edge to pin it."),
        ),
    ),
    "CandidateList": Moves(
        "the candidates for the chosen place",
        (
            ("up, down", "Go from candidate to candidate; page up, page down, home and end go further."),
            ("enter", "Pin the candidate to the place, and go back to the places."),
            ("escape", "Go back to the places."),
            ("mouse", "Press a candidate to choose it; press it again, or its left edge, to pin it to the place."),
        ),
    ),
    "CrownPlan": Moves(
        "the picture of the crown",
        (
            ("arrows", "Go to the next graft that way."),
            ("enter", "Choose among all that can be done with the graft."),
            ("escape", "Go back to the rows."),
            ("mouse", "Press a graft; pressed again, the next one of those that share its place."),
        ),
    ),
    "TemplateList": Moves(
        "the list of templates",
        (
            ("up, down", "Go from template to template."),
            ("enter", "Go into the template, to its fields."),
            ("mouse", "Press a template to choose it, and again to go to its fields."),
        ),
    ),
    "FieldList": Moves(
        "the fields of the template",
        (
            ("up, down", "Go from field to field."),
            ("left, right", "Less, more; with shift much less, much more."),
            ("enter", "Turn a yes to no, and take a weather limit off."),
            ("escape", "Go back to the list of templates."),
            ("mouse", "Press a field to choose it; the words below the table change it."),
        ),
    ),
    "FilterLine": Moves(
        "the filter",
        (
            ("letters", "What is shown has all of these words in it."),
            ("enter", "Go back to the rows and keep the words."),
            ("escape", "Take the words away."),
        ),
    ),
    "FormInput": Moves(
        "a line of the form",
        (
            ("enter", "Take the word that is offered and go on; on the last line, save."),
            ("up, down", "Go through the words that are offered, or through the days."),
            ("tab", "Go to the next line; shift+tab goes back."),
            ("right", "Complete the word that is offered."),
            ("mouse", "Press the name of a line to go there, and again for the next word or an earlier day."),
        ),
    ),
    "DayInput": Moves(
        "the day",
        (("up, down", "A day later, a day earlier."), ("enter", "Take the stage on this day.")),
    ),
    "Input": Moves("a line to write in", (("letters", "Are written."), ("enter", "Take it."))),
    "OptionList": Moves("the lines to choose from", _PICK),
    "VerticalScroll": Moves("the page", _SCROLL),
}


def moves_of(focused: DOMNode | None) -> Moves | None:
    """The help of the widget that has the cursor, or of the nearest one around it that has any."""
    if focused is None:
        return None
    for node in focused.ancestors_with_self:
        for made_from in type(node).__mro__:
            if made_from.__name__ in MOVES:
                return MOVES[made_from.__name__]
    return None
