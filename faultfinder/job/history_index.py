"""The index over all closed jobs of a folder: an embedded database, made from the records and from nothing else.

It only saves taking every record apart again: one is read anew when its content has changed, and what has gone is
forgotten. It may be deleted at any time; a damaged, foreign or locked index, or a folder that cannot be written,
costs time and nothing more. The records themselves are read through the Files seam.
"""

from __future__ import annotations

import hashlib
import sqlite3
from collections.abc import Sequence
from pathlib import Path
from types import MappingProxyType

from faultfinder.errors import FaultFinderError
from faultfinder.job.events import Closed, Event
from faultfinder.job.history import WEIGHT, ClosedJob, Closing, blended, closed_job, counts, together
from faultfinder.job.history_file import of_others
from faultfinder.job.line import plain_text, to_line
from faultfinder.job.record import parse_record
from faultfinder.job.seam import Disk, Files
from faultfinder.job.search import record_names
from faultfinder.knowledge.model import Pack

INDEX = ".history.sqlite3"
FORMAT = 1
WAIT_S = 5.0
"""How long another process may hold the index; then this one works without it. Chosen."""

_TABLES = """
CREATE TABLE about (format INTEGER NOT NULL);
CREATE TABLE record (
  name TEXT PRIMARY KEY, digest TEXT NOT NULL, problem TEXT NOT NULL,
  job TEXT, pack TEXT NOT NULL, by_clock REAL NOT NULL
);
CREATE TABLE fact (
  record TEXT NOT NULL REFERENCES record ON DELETE CASCADE, name TEXT NOT NULL, value TEXT NOT NULL
);
CREATE TABLE closing (
  record TEXT NOT NULL REFERENCES record ON DELETE CASCADE,
  number INTEGER NOT NULL, at TEXT NOT NULL, state TEXT NOT NULL, minutes REAL NOT NULL
);
CREATE TABLE found (
  record TEXT NOT NULL REFERENCES record ON DELETE CASCADE, closing INTEGER NOT NULL, cause TEXT NOT NULL
);
CREATE TABLE mended (record TEXT NOT NULL REFERENCES record ON DELETE CASCADE, cause TEXT NOT NULL);
CREATE INDEX fact_of ON fact (record);
CREATE INDEX closing_of ON closing (record);
CREATE INDEX found_of ON found (record);
CREATE INDEX mended_of ON mended (record);
"""


def job_key(events: Sequence[Event]) -> str:
    """What names a closed job wherever it is counted: a hash of its record up to the first closing.

    What is appended later (a return visit) does not change it, nor where or under which name the record lies.
    """
    digest = hashlib.sha256()
    for event in events:
        digest.update(to_line(event, check=False).encode("utf-8"))
        if isinstance(event, Closed):
            break
    return digest.hexdigest()[:16]


class Index:
    """The index of a folder, open. Use `Index.open`, `refresh`, `jobs`, `close`."""

    def __init__(self, connection: sqlite3.Connection, folder: Path, files: Files) -> None:
        self._connection = connection
        self._folder = folder
        self._files = files

    @classmethod
    def open(cls, folder: Path, files: Files | None = None) -> Index:
        """The folder's index, made anew where there is none that can be used; in memory where none can be kept."""
        files = files or Disk()
        return cls(_kept(folder / INDEX, files) or _in_memory(), folder, files)

    def refresh(self) -> tuple[str, ...]:
        """Read what has changed since; what is wrong with records, a sentence each. Raises OSError where the folder
        cannot be looked at."""
        names = record_names(self._folder, self._files)
        try:
            return self._refreshed(names)
        except sqlite3.Error:
            # The disk is full, may only be read, or the index is damaged after all: go on without keeping it.
            self.close()
            self._connection = _in_memory()
            return self._refreshed(names)

    def _refreshed(self, names: Sequence[str]) -> tuple[str, ...]:
        known = dict(self._connection.execute("SELECT name, digest FROM record"))
        with self._connection:
            for name in set(known) - {_stored(name) for name in names}:
                self._connection.execute("DELETE FROM record WHERE name = ?", (name,))
            for name in names:
                self._take(name, known.get(_stored(name), ""))
        rows = self._connection.execute("SELECT problem FROM record WHERE problem <> '' ORDER BY name")
        return tuple(problem for (problem,) in rows)

    def _take(self, file: str, digest_before: str) -> None:
        path, name = self._folder / file, _stored(file)
        try:
            data = self._files.read(path)
        except OSError as error:
            self._forget(name, "", f"{plain_text(str(path))} cannot be read: {error.strerror or error}.")
            return
        digest = hashlib.sha256(data).hexdigest()
        if digest == digest_before:
            return
        try:
            contents = parse_record(data, str(path))
        except FaultFinderError as error:
            self._forget(name, digest, str(error))
            return
        if contents.damaged:
            first = next(problem for problem in contents.problems if problem.is_error)
            self._forget(name, digest, f"not counted, damaged: {plain_text(str(first))}")
            return
        job = closed_job(job_key(contents.events), contents.events)
        self._forget(name, digest, "")
        if job is not None:
            self._keep(name, job)

    def _forget(self, name: str, digest: str, problem: str) -> None:
        """The record stands in the index without a job."""
        self._connection.execute("DELETE FROM record WHERE name = ?", (name,))
        self._connection.execute(
            "INSERT INTO record VALUES (?, ?, ?, NULL, '', 0)", (name, digest, _stored(problem))
        )

    def _keep(self, name: str, job: ClosedJob) -> None:
        run, many = self._connection.execute, self._connection.executemany
        run(
            "UPDATE record SET job = ?, pack = ?, by_clock = ? WHERE name = ?",
            (job.key, _stored(job.pack), job.by_clock, name),
        )
        many(
            "INSERT INTO fact VALUES (?, ?, ?)",
            [(name, _stored(fact), _stored(value)) for fact, value in job.facts.items()],
        )
        many(
            "INSERT INTO closing VALUES (?, ?, ?, ?, ?)",
            [(name, n, each.at, _stored(each.state), each.minutes) for n, each in enumerate(job.closings)],
        )
        many(
            "INSERT INTO found VALUES (?, ?, ?)",
            [(name, n, _stored(cause)) for n, each in enumerate(job.closings) for cause in each.found],
        )
        many("INSERT INTO mended VALUES (?, ?)", [(name, _stored(cause)) for cause in job.put_right])

    def jobs(self) -> list[ClosedJob]:
        """Every closed job, each once although its record lie there twice."""
        run = self._connection.execute
        facts: dict[str, dict[str, str]] = {}
        for record, fact, value in run("SELECT record, name, value FROM fact ORDER BY rowid"):
            facts.setdefault(record, {})[fact] = value
        found: dict[tuple[str, int], list[str]] = {}
        for record, number, cause in run("SELECT record, closing, cause FROM found ORDER BY rowid"):
            found.setdefault((record, number), []).append(cause)
        closings: dict[str, list[Closing]] = {}
        for record, number, at, state, minutes in run(
            "SELECT record, number, at, state, minutes FROM closing ORDER BY record, number"
        ):
            each = Closing(at, state, tuple(found.get((record, number), ())), minutes)
            closings.setdefault(record, []).append(each)
        mended: dict[str, list[str]] = {}
        for record, cause in run("SELECT record, cause FROM mended ORDER BY rowid"):
            mended.setdefault(record, []).append(cause)
        jobs = [
            ClosedJob(
                key,
                pack,
                MappingProxyType(facts.get(name, {})),
                tuple(closings[name]),
                tuple(mended.get(name, ())),
                by_clock,
            )
            for name, key, pack, by_clock in run(
                "SELECT name, job, pack, by_clock FROM record WHERE job IS NOT NULL ORDER BY name"
            )
        ]
        return together(jobs)

    def close(self) -> None:
        self._connection.close()

    def __enter__(self) -> Index:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


def _stored(text: str) -> str:
    """A text as the database can hold it: lone surrogates have no bytes."""
    return text.encode("utf-8", "replace").decode("utf-8")


def _kept(path: Path, files: Files) -> sqlite3.Connection | None:
    """The index on disk, private to the user; made anew once where it cannot be used; None where that fails."""
    for _ in range(2):
        connection: sqlite3.Connection | None = None
        try:
            if not files.exists(path):
                files.close(files.open(path, create=True))
            connection = sqlite3.connect(path, timeout=WAIT_S)
            if _usable(connection):
                return connection
            connection.close()
            files.remove(path)
        except sqlite3.OperationalError:
            # Locked or read-only: it may be good, so it is left alone.
            if connection is not None:
                connection.close()
            return None
        except (sqlite3.DatabaseError, OSError):
            if connection is not None:
                connection.close()
            try:
                files.remove(path)
            except OSError:
                return None
    return None


def _usable(connection: sqlite3.Connection) -> bool:
    """Whether it is an index of this format, or empty and now made one. Raises sqlite3.Error for what is none."""
    connection.execute("PRAGMA journal_mode = DELETE").fetchone()
    connection.execute("PRAGMA synchronous = FULL")
    connection.execute("PRAGMA foreign_keys = ON")
    tables = {name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    if not tables:
        _make(connection)
        return True
    if "about" not in tables:
        return False
    known = connection.execute("SELECT format FROM about").fetchone()
    whole = connection.execute("PRAGMA quick_check(1)").fetchone()
    return bool(known == (FORMAT,) and whole == ("ok",))


def _in_memory() -> sqlite3.Connection:
    connection = sqlite3.connect(":memory:")
    _make(connection)
    return connection


def _make(connection: sqlite3.Connection) -> None:
    connection.execute("PRAGMA foreign_keys = ON")
    with connection:
        connection.executescript(_TABLES)
        connection.execute("INSERT INTO about VALUES (?)", (FORMAT,))


# -- the whole of it ------------------------------------------------------------------------------------


def seen(folder: Path, files: Files | None = None) -> tuple[list[ClosedJob], tuple[str, ...]]:
    """Every closed job of the folder's records and of what was taken in from other vans, and what is wrong with
    them. Raises OSError where the folder cannot be looked at."""
    files = files or Disk()
    if not files.exists(folder):
        return [], ()
    with Index.open(folder, files) as index:
        problems = index.refresh()
        jobs = index.jobs()
    try:
        others = of_others(folder, files)
    except FaultFinderError as error:
        return jobs, (*problems, str(error))
    return together(jobs, others), problems


def seen_pack(
    pack: Pack, folder: Path, files: Files | None = None, weight: float = WEIGHT
) -> tuple[Pack, str]:
    """The pack blended with what the workshop has seen, and the sentence that must be shown with it.

    Nothing is blended unless somebody asked for it. Problems with single records leave those out.
    """
    jobs, problems = seen(folder, files)
    counted = counts(pack, jobs)
    most = max((count.jobs for count in counted.values()), default=0)
    if not most:
        return pack, "No closed job has been done with these rules here: their own numbers stand."
    told = f"How common faults are is blended with {most} jobs seen here (the rules count as {weight:g})."
    if problems:
        told += f" {len(problems)} records are left out: see faultfinder history."
    return blended(pack, counted, weight), told
