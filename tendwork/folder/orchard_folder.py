"""The orchard folder: where it is, whether it can be opened, how one is begun, and what stands in it.

What reads records, templates and temperatures is imported when it is asked for, so that a folder opens at once.
"""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from tendwork.errors import PersonError
from tendwork.folder.drafts import sweep
from tendwork.folder.files import is_unplain, make_folder, read_text, reason, stands, write_unwaited, write_whole
from tendwork.folder.location import locate
from tendwork.folder.records_files import restored_beside
from tendwork.folder.site import SITE_FILE, Site, TemperatureSource, read_site

if TYPE_CHECKING:
    from tendwork.folder.loaded_templates import LoadedTemplates
    from tendwork.folder.records_db import RecordStore
    from tendwork.folder.temperature_sources import SourceFile

RECORDS_FILE = "records.db"
_PARTS = ("temperatures", "templates")


class OrchardFolder:
    """An open orchard folder. `site` is read at once; the records are opened when first asked for.

    `site_stamp` is of site.toml as it was before it was read, empty where nobody looked.
    """

    def __init__(self, path: Path, site: Site, site_stamp: str = "") -> None:
        self.path = path
        self.site = site
        self._site_stamp = site_stamp
        self.adjustments_path = path / "adjustments.toml"
        self._records: RecordStore | None = None

    @classmethod
    def open(cls, path: Path | None = None) -> OrchardFolder:
        """Open `path`, else TENDWORK_ORCHARD, else the default place. Raises PersonError that says what to do."""
        path = locate(path)
        refuse_unless_readable(path)
        stamp = _stamp(path / SITE_FILE)
        return cls(path, read_site(read_text(path / SITE_FILE)), stamp)

    @classmethod
    def begin(cls, path: Path, *, name: str, timezone: str, latitude: float, longitude: float) -> OrchardFolder:
        """Make a folder with site.toml, empty records, and places for temperatures and templates; then open it.

        Raises PersonError where a folder holds anything already, so that nothing is ever overwritten; where it cannot
        be made whole, nothing of it is left.
        """
        from tendwork.folder.records_db import create_records
        from tendwork.folder.site_text import site_text

        text = site_text(name, timezone, latitude, longitude)
        read_site(text)
        _refuse_unless_empty(path)
        stood = path.is_dir()
        make_folder(path, keep_rights=True)
        try:
            write_whole(path / SITE_FILE, text.encode(), new=True)  # of two who begin here at once, one goes on
            try:
                for part in _PARTS:
                    make_folder(path / part)
                create_records(path / RECORDS_FILE)
            except BaseException:
                _take_away_begun(path)
                raise
        except BaseException:
            if not stood:
                with suppress(OSError):  # it is another's now where anything is in it
                    path.rmdir()
            raise
        return cls.open(path)

    @property
    def records(self) -> RecordStore:
        """The records database, opened once; it is copied each day before the first act. Raises PersonError."""
        from tendwork.folder.records_db import RecordStore

        if self._records is None:
            self._records = RecordStore.open(self.path / RECORDS_FILE, create=True, before_written=self.back_up)
        return self._records

    def close(self) -> None:
        """Let go of the records."""
        if self._records is not None:
            self._records.close()
            self._records = None

    def renew_site(self) -> bool:
        """Read site.toml again where it is not as it was read, and say whether it was. Raises PersonError."""
        stamp = _stamp(self.path / SITE_FILE)
        if stamp == self._site_stamp:
            return False
        self.site, self._site_stamp = read_site(read_text(self.path / SITE_FILE)), stamp
        return True

    def templates(self) -> LoadedTemplates:
        """The shipped templates with the person's own laid over them. Raises PersonError."""
        from tendwork.folder.templates import load_templates

        return load_templates(self.path / "templates")

    def temperature_files(self, source: TemperatureSource) -> tuple[Path, ...]:
        """The files of a source, in the order of their names. Raises PersonError if one without a * is not there."""
        named = self.path / source.file
        if stands(named) and not named.is_dir():
            return (named,)
        if not any(mark in source.file for mark in "*?["):
            what = f'is not there, but {SITE_FILE} names it under "temperatures". Add it or mend the name.'
            raise PersonError(f"{named}: {what}")
        start = Path(Path(source.file).anchor or self.path)
        return tuple(sorted(start.glob(source.file.removeprefix(Path(source.file).anchor))))

    def ranked_temperature_files(self) -> tuple[SourceFile, ...]:
        """All temperature files, best first, with how to read each. Raises PersonError."""
        from tendwork.folder.temperature_sources import ranked_files

        return ranked_files(self.path, self.site.temperatures, self.temperature_files)

    def content_token(self) -> str:
        """A word that is the same as long as site, templates, adjustments, temperature files and records are."""
        own = f"{_stamp(self.path / SITE_FILE)}{_stamp(self.adjustments_path)}{self.templates_token()}"
        return f"{self.records.content_token()};{self.temperatures_token()}{own}"

    def templates_token(self) -> str:
        """A word that is the same as long as the person's own templates are."""
        return "".join(map(_stamp, sorted((self.path / "templates").glob("*.toml"))))

    def temperatures_token(self) -> str:
        """A word that is the same as long as the temperature files are. Raises PersonError."""
        from tendwork.folder.temperature_origins import ORIGINS_FILE

        files = [self.path / ORIGINS_FILE, *(file.path for file in self.ranked_temperature_files())]
        return "".join(map(_stamp, files))

    def back_up(self) -> Path | None:
        """Copy the records once a day into backups/; None if done, or the folder is read-only. Raises PersonError.

        The day is that of the clock, never the one that is planned for. Nobody has to ask for it before an act.
        """
        from datetime import UTC, datetime

        from tendwork.folder.backups import back_up_daily
        from tendwork.folder.records_files import BACKUPS

        records = self.records
        if not records.writable:
            return None
        made = back_up_daily(records, records.path.parent / BACKUPS, datetime.now(UTC))
        if made is not None:  # once a day, what killed writers left of the files that stand here
            for place, name in ((self.path, SITE_FILE), (made.parent.parent, records.path.name)):
                sweep(place, name)
            sweep(made.parent.parent, restored_beside(records.path).name)
        return made

    def read_cache(self, key: str) -> bytes | None:
        """What was kept under `key`, or None; the cache may be gone at any time."""
        kept = self.path / "cache" / key
        try:
            return None if is_unplain(kept) else kept.read_bytes()
        except OSError:
            return None

    def cache_stamp(self, key: str) -> tuple[int, int, int] | None:
        """What is the same as long as the same content is kept under `key`; None where there is none."""
        try:
            status = (self.path / "cache" / key).stat()
        except OSError:
            return None
        return status.st_ino, status.st_size, status.st_mtime_ns

    def write_cache(self, key: str, content: bytes) -> None:
        """Keep `content` under `key` (a plain file name) if that can be done."""
        try:
            make_folder(self.path / "cache")
            write_unwaited(self.path / "cache" / key, content)
        except (PersonError, OSError):
            return

    def rename_cache(self, key: str, to: str) -> None:
        """Keep what stands under `key` under another name instead, if that can be done."""
        with suppress(OSError):
            (self.path / "cache" / key).replace(self.path / "cache" / to)


def _take_away_begun(path: Path) -> None:
    """Remove an orchard that could not be made whole; site.toml, which keeps others from beginning here, goes last."""
    with suppress(OSError):
        for entry in (*path.glob(f"{RECORDS_FILE}*"), *path.glob(f".{RECORDS_FILE}*")):
            entry.unlink()
    for part in _PARTS:
        with suppress(OSError):
            (path / part).rmdir()
    with suppress(OSError):
        (path / SITE_FILE).unlink()


def refuse_unless_readable(path: Path) -> None:
    """Raise PersonError, saying what to do, unless `path` is an orchard folder that can be looked into."""
    try:
        if not path.exists():
            raise PersonError(f"{path}: there is no orchard folder here. Make one with: tendwork begin {_quoted(path)}")
        if not path.is_dir():
            raise PersonError(f"{path}: is not a folder. Name an orchard folder, or make one with: tendwork begin DIR")
        content = {entry.name for entry in path.iterdir()}
    except OSError as error:
        raise PersonError(
            f"{path}: the folder cannot be read ({reason(error)}). Give yourself the right to read it."
        ) from None
    if not content:
        raise PersonError(f"{path}: the folder is empty. Begin an orchard in it with: tendwork begin {_quoted(path)}")
    if SITE_FILE not in content:
        what = f"holds no {SITE_FILE}, so it is no orchard folder"
        raise PersonError(f"{path}: {what}. Name another, or make one with: tendwork begin DIR")


def _refuse_unless_empty(path: Path) -> None:
    try:
        if not path.exists():
            return
        if not path.is_dir():
            raise PersonError(f"{path}: is not a folder. Choose another place.")
        content = {entry.name for entry in path.iterdir()}
    except OSError as error:
        raise PersonError(f"{path}: the folder cannot be read ({reason(error)}). Choose another place.") from None
    if content & {SITE_FILE, RECORDS_FILE, restored_beside(path / RECORDS_FILE).name}:
        raise PersonError(
            f"{path}: holds an orchard already. Nothing was changed; choose another place, or open that one."
        )
    if any(not name.startswith(".") for name in content):
        raise PersonError(f"{path}: the folder is not empty. Nothing was changed; choose another place.")


def _quoted(path: Path) -> str:
    from shlex import quote

    return quote(str(path))


def _stamp(file: Path) -> str:
    try:
        status = file.stat()
    except OSError:
        return f"{file}|{'leads nowhere' if stands(file) else 'absent'};"
    # A copy or an archive may bring the old time of writing back; the time of the change itself, it cannot.
    return f"{file}|{status.st_size}|{status.st_mtime_ns}|{status.st_ctime_ns};"
