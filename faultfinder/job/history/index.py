"""The index over all jobs of a folder: an embedded database, made from the records and from nothing else.

It only saves taking every record apart again: one is read anew when its content has changed, and what has gone is
forgotten. It may be deleted at any time; a damaged, foreign or locked index, or a folder that cannot be written,
costs time and nothing more. The records themselves are read through the seam of job/record/filesystem.py.
"""

from __future__ import annotations

import hashlib
import json
import sqlite3
import zlib
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from types import MappingProxyType
from typing import TypeVar

from faultfinder.errors import FaultFinderError
from faultfinder.job.events import Closed, Event, SeenBefore
from faultfinder.job.history.exchange import of_others
from faultfinder.job.history.history import ClosedJob, Closing, closed_job, counts, seen_before, together
from faultfinder.job.history.search import ODD, Job, fitting, job_of, odd, record_names, unreadable
from faultfinder.job.record.event_codec import plain_text, to_line
from faultfinder.job.record.filesystem import Disk
from faultfinder.job.record.lines import parse_record
from faultfinder.job.record.record import SUFFIX
from faultfinder.job.record.whole_file import reason_of
from faultfinder.knowledge.model import Pack
from faultfinder.text.catalogue import say

Result = TypeVar("Result")

INDEX = ".history.sqlite3"
FORMAT = 4
WAIT_S = 5.0
"""How long another process may hold the index; then this one works without it. Chosen."""

_BAD = (sqlite3.Error, UnicodeError, LookupError, TypeError, ValueError)
"""What reading a damaged index may raise: its texts may be no texts and its numbers no numbers."""
_MAY_BE_GOOD = frozenset(
    {
        sqlite3.SQLITE_BUSY,
        sqlite3.SQLITE_LOCKED,
        sqlite3.SQLITE_READONLY,
        sqlite3.SQLITE_CANTOPEN,
        sqlite3.SQLITE_FULL,
        sqlite3.SQLITE_PERM,
    }
)
"""Errors that say nothing against the index itself: it is left alone, and done without this time."""

_TABLES = """
CREATE TABLE about (format INTEGER NOT NULL);
CREATE TABLE record (
  name TEXT PRIMARY KEY, digest TEXT NOT NULL, problem TEXT NOT NULL, closed TEXT NOT NULL, kept_sum INTEGER NOT NULL,
  told TEXT NOT NULL, told_sum INTEGER NOT NULL, words TEXT NOT NULL, words_sum INTEGER NOT NULL
);
"""
"""closed: what the history counts, empty while it does not; told: what is listed; words: what is searched. The sums
tell damage inside the cells, which the database's own check does not look at."""


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

    def __init__(self, connection: sqlite3.Connection, folder: Path, files: Disk) -> None:
        self._connection = connection
        self._folder = folder
        self._files = files

    @classmethod
    def open(cls, folder: Path, files: Disk | None = None) -> Index:
        """The folder's index, made anew where there is none that can be used; in memory where none can be kept."""
        files = files or Disk()
        # Where there is no record nothing is left behind either.
        kept = _kept(folder / INDEX, files) if _worth_it(folder, files) else None
        return cls(kept or _in_memory(), folder, files)

    def refresh(self) -> tuple[str, ...]:
        """Read what has changed since; what is wrong with records, a sentence each. Raises OSError where the folder
        cannot be looked at."""
        return self._tried(self._refreshed)

    def jobs(self) -> list[ClosedJob]:
        """Every closed job, each once although its record lie there twice; as of the last `refresh`."""
        return self._tried(lambda: together(self._jobs()))

    def listed(self, words: Sequence[str] = ()) -> list[Job]:
        """Every job, open or closed, that holds all the words, latest first; as of the last `refresh`."""
        return self._tried(lambda: fitting(self._listed(with_words=bool(words)), words))

    def _tried(self, read: Callable[[], Result]) -> Result:
        """What is read from the index; where it is damaged, from one made anew."""
        try:
            return read()
        except _BAD as error:
            # Go on in memory, and take a damaged index away, so that the next opening makes it anew.
            self.close()
            self._connection = _in_memory()
            if not _left_alone(error):
                _removed(self._folder / INDEX, self._files)
            self._refreshed()
            return read()

    def _refreshed(self) -> tuple[str, ...]:
        names = record_names(self._folder, self._files)
        known = dict(self._connection.execute("SELECT name, digest FROM record"))
        with self._connection:
            for name in set(known) - {_stored(name) for name in names}:
                self._connection.execute("DELETE FROM record WHERE name = ?", (name,))
            for name in names:
                self._take(name, known.get(_stored(name), ""))
        rows = self._connection.execute("SELECT problem FROM record WHERE problem <> '' ORDER BY name")
        return tuple(problem for (problem,) in rows)

    def _take(self, file: str, digest_before: str) -> None:
        """Take a record apart, unless it is what it was."""
        path, digest, problem, job = self._folder / file, "", "", None
        try:
            data = self._files.read(path)
            digest = hashlib.sha256(data).hexdigest()
            if digest == digest_before:
                return
            contents = parse_record(data, str(path))
            listed = job_of(path, contents)
            if contents.damaged:
                first = next(problem for problem in contents.problems if problem.is_error)
                problem = say("index_not_counted_damaged", first=plain_text(str(first)))
            else:
                job = closed_job(job_key(contents.events), contents.events)
        except OSError as error:
            problem = say("cannot_be_read", what=plain_text(str(path)), why=reason_of(error, reading=True))
            listed = unreadable(path, problem)
        except (FaultFinderError, *ODD) as error:
            problem = str(error) if isinstance(error, FaultFinderError) else odd(path, error)
            listed = unreadable(path, problem)
        self._keep(_stored(file), digest, problem, listed, job)

    def _keep(self, name: str, digest: str, problem: str, listed: Job, job: ClosedJob | None) -> None:
        """What a record comes to, in the place of what stood there."""
        kept = (name, digest, _stored(problem), _closed(job) if job is not None else "")
        told, words = _told(listed), _stored(listed.words)
        self._connection.execute(
            "INSERT OR REPLACE INTO record VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
            (*kept, _sum(*kept), told, _sum(name, told), words, _sum(name, words)),
        )

    def _listed(self, *, with_words: bool) -> Iterator[Job]:
        columns = "words, words_sum" if with_words else "'', 0"
        for name, told, told_sum, words, words_sum in self._connection.execute(
            f"SELECT name, told, told_sum, {columns} FROM record ORDER BY name"
        ):
            _must_be(told_sum, name, told)
            if with_words:
                _must_be(words_sum, name, words)
            yield _listed_of(self._folder, told, words)

    def _jobs(self) -> Iterator[ClosedJob]:
        for *kept, kept_sum in self._connection.execute(
            "SELECT name, digest, problem, closed, kept_sum FROM record ORDER BY name"
        ):
            _must_be(kept_sum, *kept)
            if kept[3]:
                yield _closed_of(kept[3])

    def close(self) -> None:
        self._connection.close()

    def __enter__(self) -> Index:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


def _stored(text: str) -> str:
    """A text as the database can hold it: lone surrogates have no bytes."""
    return text.encode("utf-8", "backslashreplace").decode("utf-8")


def _closed(job: ClosedJob) -> str:
    """What is counted of a closed job, as JSON; '?' for what no file can hold."""
    closings = [(each.at, each.state, each.found, each.minutes) for each in job.closings]
    parts = [job.key, job.pack, dict(job.facts), closings, job.put_right, job.by_clock]
    return json.dumps(parts, ensure_ascii=False).encode("utf-8", "replace").decode("utf-8")


def _closed_of(text: str) -> ClosedJob:
    key, pack, facts, rows, put_right, by_clock = json.loads(text)
    closings = tuple(Closing(at, state, tuple(found), minutes) for at, state, found, minutes in rows)
    return ClosedJob(key, pack, MappingProxyType(facts), closings, tuple(put_right), by_clock)


_HERE = "\0"
"""Stands for the path of a record in what is told of it: the same folder may be named in several ways."""


def _told(job: Job) -> str:
    """What is told of a job without being asked for a word in it; JSON, in which every text has its bytes."""
    problems = [problem.replace(str(job.path), _HERE) for problem in job.problems]
    began = [job.path.name, job.state, job.pack, job.began, job.last, job.complaint, job.minutes]
    return json.dumps([*began, job.found, problems, job.damaged])


def _listed_of(folder: Path, told: str, words: str) -> Job:
    file, *began, found, problems, damaged = json.loads(told)
    path = folder / file
    told_of = tuple(problem.replace(_HERE, str(path)) for problem in problems)
    parts = (path.name.removesuffix(SUFFIX), path, *began, tuple(found), words, damaged, told_of)
    return Job(*parts)


def _sum(*texts: str) -> int:
    return zlib.crc32("\0".join(map(str, texts)).encode("utf-8", "backslashreplace"))


def _must_be(kept_sum: int, *texts: str) -> None:
    """Raises sqlite3.DatabaseError where what is kept of a record, its name first, is not what was put in."""
    if kept_sum != _sum(*texts):
        raise sqlite3.DatabaseError(say("index_what_kept_damaged", name=texts[0]))


def _worth_it(folder: Path, files: Disk) -> bool:
    try:
        return files.exists(folder / INDEX) or bool(record_names(folder, files))
    except OSError:
        return False


def _left_alone(error: Exception) -> bool:
    return getattr(error, "sqlite_errorcode", 0) & 0xFF in _MAY_BE_GOOD


def _removed(path: Path, files: Disk) -> bool:
    try:
        files.remove(path)
    except OSError:
        return False
    return True


def _kept(path: Path, files: Disk) -> sqlite3.Connection | None:
    """The index on disk, private to the user; made anew once where it cannot be used; None where that fails."""
    for _ in range(2):
        connection: sqlite3.Connection | None = None
        try:
            if files.exists(path) and not files.is_file(path):
                raise sqlite3.DatabaseError(say("index_link_pipe_in_place"))
            if not files.exists(path):
                files.close(files.open(path, create=True))
            connection = sqlite3.connect(path, timeout=WAIT_S)
            if _usable(connection):
                return connection
            trouble: Exception = sqlite3.DatabaseError(say("index_another_format"))
        except (*_BAD, OSError) as error:
            trouble = error
        if connection is not None:
            connection.close()
        if _left_alone(trouble) or not _removed(path, files):
            return None
    return None


def _usable(connection: sqlite3.Connection) -> bool:
    """Whether it is an index of this format, or empty and now made one. Raises sqlite3.Error for what is none."""
    connection.execute("PRAGMA journal_mode = DELETE").fetchone()
    # What a flat battery spoils is noticed (checksums) and made anew from the records: no need to wait for the disk.
    connection.execute("PRAGMA synchronous = OFF")
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
    with connection:
        connection.executescript(_TABLES)
        connection.execute("INSERT INTO about VALUES (?)", (FORMAT,))


# -- the whole of it ------------------------------------------------------------------------------------


def seen(folder: Path, files: Disk | None = None) -> tuple[list[ClosedJob], tuple[str, ...]]:
    """Every closed job of the folder's records and of what was taken in from other vans, and what is wrong with
    them. Raises OSError where the folder cannot be looked at."""
    files = files or Disk()
    with Index.open(folder, files) as index:
        problems = index.refresh()
        jobs = index.jobs()
    try:
        others = of_others(folder, files)
    except FaultFinderError as error:
        return jobs, (*problems, str(error))
    return together(jobs, others), problems


def listed(folder: Path, files: Disk | None = None, words: Sequence[str] = ()) -> list[Job]:
    """The jobs of a folder that hold all the words, latest first; an unreadable one only where its name does, and
    where no word is asked for. No such folder: no jobs. Raises OSError where the folder cannot be looked at."""
    with Index.open(folder, files or Disk()) as index:
        index.refresh()
        return index.listed(words)


def seen_here(pack: Pack, folder: Path) -> tuple[SeenBefore | None, tuple[str, ...]]:
    """The pack's numbers blended with what the workshop has seen, and what is wrong with the records left out.

    None: no closed job was done with these rules. Nothing is blended unless somebody asks for it, and whoever does
    shows it. Raises OSError where the folder cannot be looked at.
    """
    jobs, problems = seen(folder)
    return seen_before(pack, counts(pack, jobs)), problems
