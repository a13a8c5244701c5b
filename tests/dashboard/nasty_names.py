"""Names that a screen must show as they are: markup, a live link, letters from right to left after an override."""

from __future__ import annotations

BRACKETS = "Old [/x] Tom"
LINK = "[@click=app.leave]Wall[/] pear"
OVERRIDE = "\u202eתפוח"
PLAIN = "Red Lamp"
