"""The logbook as parsed documents: read once, checked, and remembered by content.

A document that is not valid raises DocumentError with every problem. A dive or work record is
used as far as it goes: its damaged lines are kept as problems beside its entries.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Hashable, Iterable, Mapping
from datetime import UTC
from operator import is_
from typing import Any, Literal, TypeVar

from rovlog.domain.dive import Entry, Part, Record, join_parts
from rovlog.domain.wrong_clock import placed_start
from rovlog.problems import DocumentError, Problem, RovlogError, UsageError
from rovlog.usecases.approvals import Approval, InForce, approvals_in, in_force_of
from rovlog.usecases.ports import Book
from rovlog.usecases.record_parts import ReadPart, part_data, part_from, unreadable, without_corrections
from rovlog.usecases.settings import Person, Settings, settings_from
from rovlog.values import replace

Made = TypeVar("Made")

SETTINGS = "logbook.yaml"
"""The file that says who the people are, and what the team has settled."""

PARSED_FORMAT = "6"
"""Part of every cache key: raise it when what is kept for a parsed document changes."""


class Logbook:
    """Parsed access to one opened logbook.

    Records are read anew each time; other documents are looked at once until `forget`.
    """

    def __init__(self, book: Book) -> None:
        self.book = book
        self._documents: dict[str, tuple[bytes, Any]] = {}
        self._looked_at: set[str] = set()
        self._records: dict[str, tuple[tuple[int, int], ReadPart]] = {}
        self._joins: dict[str, tuple[list[ReadPart], Record]] = {}
        self._made: dict[tuple[str, Callable[[Any], Any]], tuple[Any, Any]] = {}
        self._made_of: dict[Hashable, tuple[tuple[Any, ...], Any]] = {}
        self._settings: Settings | None = None
        self._schemas_digest = ""
        self.record_problems: dict[str, tuple[Problem, ...]] = {}

    # --- single documents -------------------------------------------------------------------

    def document(self, name: str) -> Any:
        """The plain value of a checked document; DocumentError with every problem otherwise.

        Its file is looked at once until `forget`, and parsed again only where its bytes have changed.
        """
        if name not in self._looked_at:
            data = self.book.files.read(name)
            if name not in self._documents or self._documents[name][0] != data:
                self._documents[name] = (data, self.checked(data, name))
            self._looked_at.add(name)
        return self._documents[name][1]

    def made(self, name: str, make: Callable[[Any], Made]) -> Made:
        """What `make` makes of a checked document, made once for as long as the document is remembered."""
        document = self.document(name)
        known = self._made.get((name, make))
        if known is None or known[0] is not document:
            known = self._made[name, make] = (document, make(document))
        made: Made = known[1]
        return made

    def made_of(self, key: Hashable, documents: tuple[Any, ...], make: Callable[[], Made]) -> Made:
        """What `make` makes of several documents, made once for as long as all of them are remembered."""
        known = self._made_of.get(key)
        if known is None or len(known[0]) != len(documents) or not all(map(is_, known[0], documents)):
            known = self._made_of[key] = (documents, make())
        made: Made = known[1]
        return made

    def checked(self, data: bytes, name: str) -> Any:
        """Parse and check bytes as if they stood at `name`; remembered by content."""
        key = self._key(data, name)
        known = self.book.cache.get_many([key]).get(key)
        if known is not None:
            return json.loads(known)
        from rovlog.documents.schema import check_document
        from rovlog.documents.tree import read

        tree = read(data, name)
        problems = check_document(tree, name, self.book.shipped.schemas())
        if problems:
            raise DocumentError(tuple(problems))
        self.book.cache.put_many({key: json.dumps(tree.value, ensure_ascii=False).encode()})
        return tree.value

    def _key(self, data: bytes, name: str) -> str:
        from hashlib import sha256

        if not self._schemas_digest:
            self._schemas_digest = self.book.shipped.schemas_digest()
        return f"{PARSED_FORMAT}:{self._schemas_digest}:{name}:{sha256(data).hexdigest()}"

    def forget(self) -> None:
        """Look at every file anew from now on: it may have changed."""
        self._looked_at.clear()
        self._settings = None

    def settings(self) -> Settings:
        """What logbook.yaml says, or said when it was committed last: a broken one stops no recording."""
        if self._settings is None:
            try:
                self._settings = settings_from(self.document(SETTINGS))
            except RovlogError as error:
                self._settings = replace(
                    self._committed_settings(), trouble=f"{SETTINGS} cannot be used: {error.message}"
                )
        return self._settings

    def _committed_settings(self) -> Settings:
        try:
            head = self.book.history.head()
            data = self.book.history.read_at(head, SETTINGS) if head is not None else None
            return settings_from(self.checked(data, SETTINGS)) if data is not None else Settings("", {})
        except RovlogError:
            # Neither the file nor git can tell: entries are written all the same, and named as they are.
            return Settings("", {})

    def person(self, who: str) -> Person:
        """The person of this id; UsageError with the nearest one otherwise.

        Where logbook.yaml cannot be used nobody is refused for not standing in it.
        """
        settings = self.settings()
        if who in settings.people:
            return settings.people[who]
        if settings.trouble:
            return Person(who, who)
        raise self._unknown("person", who, settings.people, "add them under people in logbook.yaml")

    def require_settings(self) -> None:
        """Raise the reason why logbook.yaml cannot be used: for what needs to know who may do it."""
        if self.settings().trouble:
            self.document(SETTINGS)

    def person_name(self, who: str) -> str:
        """The name to show for an id, the id itself where it is not known."""
        person = self.settings().people.get(who)
        return person.name if person else who

    def stems(self, folder: str) -> list[str]:
        """Ids of the documents that lie directly in a folder."""
        found = []
        for name in self.book.files.names(folder):
            rest = name.removeprefix(folder + "/")
            if "/" not in rest:
                found.append(rest.removesuffix(".yaml"))
        return found

    def vehicles(self) -> list[str]:
        """Ids of the vehicles on file."""
        return self.stems("vehicles")

    def vehicle(self, vehicle: str) -> Mapping[str, Any]:
        """One vehicle's working document."""
        return self._one("vehicle", "vehicles", vehicle)

    def box(self, box: str) -> Mapping[str, Any]:
        """One surface box's working document."""
        return self._one("box", "boxes", box)

    def model(self, model: str) -> Mapping[str, Any]:
        """One thruster model's working document."""
        return self._one("thruster model", "thrusters", model)

    def _one(self, what: str, folder: str, stem: str) -> Mapping[str, Any]:
        name = f"{folder}/{stem}.yaml"
        is_seen = name in self._looked_at or ("/" not in stem and self.book.files.exists(name))
        if not is_seen and ("/" in stem or stem not in self.stems(folder)):
            raise self._unknown(what, stem, self.stems(folder), f"{folder}/ holds none yet")
        value: Mapping[str, Any] = self.document(name)
        return value

    def _unknown(self, what: str, found: str, known: Iterable[str], otherwise: str) -> UsageError:
        from rovlog.domain.nearest import nearest_mend

        return UsageError(
            f"there is no {what} {found!r} in this logbook", nearest_mend(found, known, otherwise)
        )

    # --- approvals --------------------------------------------------------------------------

    def approvals(self, vehicle: str) -> tuple[Approval, ...]:
        """All approvals of a vehicle with their withdrawals, by revision, then digest."""
        folder = f"approvals/{vehicle}"
        values = {name: self.document(name) for name in self.book.files.names(folder)}
        return approvals_in(values)

    def readable_approvals(self, vehicle: str) -> tuple[tuple[Approval, ...], tuple[str, ...]]:
        """The approvals that can be used, and a sentence for each file that cannot.

        For asking what was: what is in force is asked of all of them, since an older one must not come
        into force because a newer one cannot be read.
        """
        values, told = {}, []
        for name in self.book.files.names(f"approvals/{vehicle}"):
            try:
                values[name] = self.document(name)
            except RovlogError as error:
                told.append(f"{name} cannot be used: {error.message}")
        return approvals_in(values), tuple(told)

    def in_force(self, vehicle: str) -> InForce:
        """The greatest revision without a withdrawal; none while two digests claim that number."""
        return in_force_of(self.approvals(vehicle))

    # --- dives and work ---------------------------------------------------------------------

    def records(
        self, vehicle: str | None = None, kinds: tuple[Literal["dive", "work"], ...] = ("dive", "work")
    ) -> list[Record]:
        """Dives and work, oldest first; of one vehicle (and of its box's work) where it is named."""
        names = self._record_names(kinds)
        if vehicle is not None and kinds == ("dive",):
            names = [n for n in names if n.rpartition("/")[2].startswith(vehicle + "-")]
        return self._joined_records(names, vehicle)

    is_held = False
    """True where the records are kept in hand between jobs."""

    def of_others(self, key: Hashable, record: str, make: Callable[[], Made]) -> Made:
        """What `make` makes of all records but this one; a held logbook makes it once for each key."""
        return make()

    def newest_records(self, vehicle: str, count: int) -> list[Record]:
        """A vehicle's last records, oldest first; no other file is read."""
        from rovlog.usecases.newest_records import newest_files

        names = self._record_names(("dive", "work"))
        return self._joined_records(newest_files(names, vehicle, count), vehicle)

    def _record_names(self, kinds: tuple[Literal["dive", "work"], ...]) -> list[str]:
        folders = {"dive": "dives", "work": "work"}
        return [n for kind in kinds for n in self.book.files.names(folders[kind])]

    def _joined_records(self, names: list[str], vehicle: str | None) -> list[Record]:
        groups: dict[tuple[str, str], list[ReadPart]] = {}
        for part in self._read_parts(names):
            if part.record:
                groups.setdefault((part.kind, part.record), []).append(part)
        found = [self._joined(parts) for parts in groups.values()]
        if vehicle is not None:
            found = [r for r in found if r.vehicle == vehicle]
        return sorted(found, key=lambda r: (start_order(placed_start(r)), r.id))

    def record(self, record: str) -> Record:
        """One dive or work record by its id; UsageError with the nearest ids otherwise."""
        names = self._record_names(("dive", "work"))
        stems = {n: n.rpartition("/")[2].removesuffix(".yaml") for n in names}
        mine = [n for n, stem in stems.items() if stem == record or stem.startswith(record + ".")]
        parts = [p for p in self._read_parts(mine) if p.record == record]
        if not parts:
            known = sorted({s.partition(".")[0] for s in stems.values()})
            raise self._unknown("dive or work", record, known, "start one: rovlog dive start VEHICLE …")
        return self._joined(parts)

    def _joined(self, parts: list[ReadPart]) -> Record:
        first = next((p for p in parts if not p.part.is_continuation), parts[0])
        kept = self._joins.get(first.record)
        if kept is not None and len(kept[0]) == len(parts) and all(map(is_, kept[0], parts)):
            return kept[1]
        record = self._join(first, parts)
        self._joins[first.record] = (parts, record)
        return record

    def _join(self, first: ReadPart, parts: list[ReadPart]) -> Record:
        def join(parts: list[ReadPart]) -> Record:
            return join_parts(
                first.record, first.kind, first.vehicle, first.box, tuple(p.part for p in parts)
            )

        record = join(parts)
        unsound = {
            c for e in record.entries if e.corrected_by and self._misfit(e, record) for c in e.corrected_by
        }
        if not unsound:
            return record
        # What a correction made of an entry cannot be read: the entry stands as it was written.
        return join([replace(p, part=without_corrections(p.part, unsound)) for p in parts])

    def _misfit(self, entry: Entry, record: Record) -> bool:
        """Whether a corrected entry is none of its kind any more; remembered by content."""
        from hashlib import sha256

        row = json.dumps([record.kind, entry.at, entry.by, entry.kind, entry.fields], ensure_ascii=False)
        key = f"misfit:{self.book.shipped.schemas_digest()}:{sha256(row.encode()).hexdigest()}"
        known = self.book.cache.get_many([key]).get(key)
        if known is None:
            from rovlog.documents.misfits import misfit, row_of

            known = misfit(row_of(entry), record.kind, self.book.shipped.schemas()).encode()
            self.book.cache.put_many({key: known})
        return bool(known)

    def _read_parts(self, names: list[str]) -> list[ReadPart]:
        pending: dict[str, tuple[str, bytes]] = {}
        found: dict[str, ReadPart] = {}
        for name in names:
            try:
                data = self.book.files.read(name)
            except UsageError as error:
                # One unreadable record must not hide the others: it is named among the problems.
                self.record_problems[name] = (unreadable(name, error),)
                continue
            kept = self._records.get(name)
            if kept is not None and kept[0] == (len(data), hash(data)):
                found[name] = kept[1]
            else:
                pending[name] = (self._key(data, name), data)
        known = self.book.cache.get_many([key for key, _ in pending.values()])
        fresh: dict[str, bytes] = {}
        for name, (key, data) in pending.items():
            kept_bytes = known.get(key)
            if kept_bytes is not None:
                part = part_from(json.loads(kept_bytes), name)
            else:
                part = self._grown(data, name) or self._parse(data, name)
                if not part.problems:
                    fresh[key] = json.dumps(part_data(part), ensure_ascii=False).encode()
            self._records[name] = ((len(data), hash(data)), part)
            found[name] = part
        if fresh:
            self.book.cache.put_many(fresh)
        for name, part in found.items():
            if part.problems:
                self.record_problems[name] = part.problems
            else:
                self.record_problems.pop(name, None)
        return [found[n] for n in names if n in found]

    def _grown(self, data: bytes, name: str) -> ReadPart | None:
        """The part where only lines were added since it was read, else None."""
        kept = self._records.get(name)
        if kept is None or kept[1].problems or not kept[1].record:
            return None
        (length, digest), part = kept
        if len(data) <= length or hash(data[:length]) != digest:
            return None
        from rovlog.documents.grown import grown

        now = grown(part.part, part.kind, data, length, self.book.shipped.schemas())
        return replace(part, part=now) if now is not None else None

    def _parse(self, data: bytes, name: str) -> ReadPart:
        from rovlog.documents.misfits import without_misfits
        from rovlog.documents.records import read_part

        try:
            document = without_misfits(read_part(data, name), self.book.shipped.schemas())
        except DocumentError as error:
            return ReadPart("", "dive", "", "", Part(name, "", "", ()), error.problems)
        return ReadPart(
            document.record, document.kind, document.vehicle, document.box, document.part, document.problems
        )


def start_order(at: str) -> str:
    """A key that sorts RFC 3339 times of one zone; times of several zones are made comparable."""
    from datetime import datetime

    try:
        return datetime.fromisoformat(at).astimezone(UTC).isoformat()
    except ValueError:
        return at
