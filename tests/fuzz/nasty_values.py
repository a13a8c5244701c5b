"""Values that have broken programs before: one dictionary for every mutator and every strategy."""

from __future__ import annotations

NUMBERS = (
    "0", "-0", "-1", "1e308", "-1e308", "1e309", "5e-324", "nan", "inf", "-inf", "+1", "1_000", "0x10", "9" * 30,
    "9" * 400, "1e9", "1000000000", "2147483648", "9223372036854775808", "0.1", "1,5", "١٢", "³", "-273.16",
    "--1", "1.",
)  # fmt: skip
DAYS = (
    "0001-01-01", "9999-12-31", "0000-01-01", "2026-02-29", "2024-02-29", "2026-02-30", "2026-13-01", "1582-10-10",
    "02-29", "13-01", "00-00", "99-99", "2026-W10-1", "20260310", "2026-3-1", "31.12.9999", "01/01/0001", "-0001-01-01",
    "2026-03-29T01:30:00", "9999-12-31T23:59:59Z", "0001-01-01T00:00:00+14:00", "24:00", "23:59:60", "2026-03-01 24:00",
)  # fmt: skip
MARKUP = (
    "[bold red]x[/]", "[/]", "[@click=app.quit]x[/]", "[link=file:///etc/passwd]x[/link]", "[[", "[", "]", "$primary",
    "{{ 7 * 7 }}", "{% for a in b %}", "${HOME}", "%s%n", "<script>alert(1)</script>", "<img src=x onerror=x>", "&lt;",
    "&#0;",
)  # fmt: skip
CONTROLS = (
    "\x1b[2J", "\x1b[31mred", "\x1b]8;;http://example.org\x07x\x1b]8;;\x07", "\x1b]0;title\x07", "\x9b31m", "\x00",
    "\x07",
    "\x08\x08\x08", "a\rb", "a\nb", "a\tb", "\x0b", "\x0c", "\x1a", "\x7f", "\x85", "\u2028", "\u2029", "\ufeff",
    "\ufffe",
    "\u202eevil\u202c", "\u2066x\u2069", "\u200b", "e\u0301" * 40, "👩‍🌾", "\U0010ffff", "字" * 90, "\u3000",
)  # fmt: skip
QUERIES = ("'; DROP TABLE trees; --", '" OR 1=1 --', "x'); DELETE FROM ticks;--", "NULL", "%", "_")
FORMULAS = (
    '=HYPERLINK("http://example.org","x")', "=1+1", "+1+cmd|' /C calc'!A0", "-2+3", "@SUM(1+1)", "\t=1+1", "=\x0d",
    "|calc",
)  # fmt: skip
PATHS = (
    "../../../etc/passwd", "/dev/zero", "/dev/null", "~root", "/", ".", "", " ", "a" * 300, "CON", "file:///x", "**/*",
    "[",
    "a/b;c", "-", "--", "-rf",
)  # fmt: skip
WORDS = (
    "site", "apple", "pear", "quince", "plum", "took", "failed", "bearing", "planned", "set", "removed", "keep", "cut",
    "full bloom", "green tip", "date", "stage", "after", "latest_of", "earliest_of", "days", "weeks", "heat",
    "first_known", "every_days",
    "times", "species", "true", "false", "yes", "no", "none", "N/A", "-9999", "-99.9", "M", "°F", "K", "us", "metric",
    "UTC", "Etc/GMT+12", "Pacific/Kiritimati", "Africa/Monrovia", "../UTC", "__class__",
)  # fmt: skip
SYNTAX = (
    '"', "'", '"""', "'''", "\\", "\\u0000", "\\ud800", ",", ";", "\t", "|", "=", "[[template]]", "[site]",
    "[template]",
    "{", "}", "[" * 300, "{a=" * 300, "#", "null", "[]", "{}", '""', "''", "\n\n", ",,,,", '{"a":' * 300,
)  # fmt: skip

TEXTS = MARKUP + CONTROLS + QUERIES + FORMULAS + PATHS
EVERYTHING = NUMBERS + DAYS + TEXTS + WORDS + SYNTAX
