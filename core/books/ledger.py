"""The journal and what follows from it: one farm's entries, postings, reversals, and the proof that they agree.

A row of state is the fold of its postings: a recorded row, plus what was added, with what was put last. A reversal
takes an entry's postings out of the fold, so "undo" is exact however much was written since.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Any

from sqlalchemy.dialects import postgresql, sqlite
from sqlmodel import Session, SQLModel, col, select
from sqlmodel.sql.expression import SelectOfScalar

from core.books.looks import look_at_once
from core.books.store import hold_farm
from core.books.tables import (
    LEDGERED,
    Batch,
    Counter,
    Crop,
    Entry,
    Gone,
    Posting,
    Shift,
    ShiftPlace,
    Standing,
    Target,
)
from core.books.tables.columns import Instant
from core.books.tables.farm import key_of
from core.errors import Refused
from core.notes import Note, to_record
from core.vocabulary import PLACE_CODE

Table = Any
"""The class of one of the ledgered tables. Their columns are known at run time only, hence no closer type."""

OF_BATCH: tuple[Table, ...] = (Standing, Gone)
OF_CROP: tuple[Table, ...] = (Batch, Target)

ACCOUNTS: dict[str, Table] = {str(table.__tablename__): table for table in LEDGERED}


@dataclass(frozen=True, slots=True)
class Told:
    """Who said something, when, and where it stands: what every entry keeps beside its note.

    `person_id` and `source` (the stored text) are None for what the farm writes by itself; `happened_at` is set where
    an earlier day was said than that of saying it, `for_id` where it was said for somebody else.
    """

    person_id: int | None
    said_at: datetime
    now: datetime
    source: str | None = None
    happened_at: datetime | None = None
    for_id: int | None = None

    @property
    def whom(self) -> int | None:
        """Whose it is: who it was said for, else who said it."""
        return self.person_id if self.for_id is None else self.for_id


class Ledger:
    """One farm's journal, inside one unit of work. Where that writes, nobody else writes in the farm's meanwhile."""

    def __init__(self, session: Session, farm_id: int) -> None:
        self.session = session
        self.farm_id = farm_id
        if session.info.get("writes"):
            hold_farm(session, farm_id)

    def number(self, name: str) -> int:
        """The next number of a kind ("entry", "person", "shift", "task"), given out once."""
        insert: Any = sqlite.insert if self.session.get_bind().dialect.name == "sqlite" else postgresql.insert
        first = insert(Counter).values(farm_id=self.farm_id, name=name, last=1)
        one_more = first.on_conflict_do_update(index_elements=["farm_id", "name"], set_={"last": col(Counter.last) + 1})
        return int(self.session.execute(one_more.returning(Counter.last)).scalar_one())

    def enter(self, note: Note | str, told: Told, *, reverses: int | None = None) -> Writing:
        """A new entry, for a note or for something the farm does by itself (its name), ready for postings."""
        act = note if isinstance(note, str) else note.act
        entry = Entry(
            farm_id=self.farm_id,
            n=self.number("entry"),
            act=act,
            note={} if isinstance(note, str) else to_record(note),
            person_id=told.person_id,
            said_at=told.said_at,
            written_at=told.now,
            happened_at=told.happened_at,
            for_id=told.for_id,
            source=told.source,
            reverses=reverses,
        )
        self.session.add(entry)
        self.session.flush()
        look_at_once(self.session, self.farm_id)
        return Writing(self, entry)

    def reverse(self, n: int, told: Told) -> Writing:
        """Take an entry back: a reversal is written and every row it touched is folded anew without it.

        Raises:
            Refused: "already_undone", or "built_upon" where later entries rest on it (plants moved since, say).
        """
        if self.session.exec(select(Entry.n).where(Entry.farm_id == self.farm_id, Entry.reverses == n)).first():
            raise Refused("already_undone")
        writing = self.enter("undo", told, reverses=n)
        touched = self.session.execute(
            select(Posting.account, Posting.row).where(Posting.farm_id == self.farm_id, Posting.entry == n).distinct()
        ).all()
        order = list(ACCOUNTS)
        for account, row in sorted(touched, key=lambda one: order.index(one[0]), reverse=True):
            self._refold(account, row)
        self._refuse_if_built_upon(n)
        return writing

    def wrote(self, account: str, row: str) -> int:
        """The number of the newest entry still standing that wrote a row; KeyError where none did."""
        postings = list(self._postings(account, row))
        if not postings:
            raise KeyError(row)
        return postings[-1].entry

    def _refold(self, account: str, row: str) -> None:
        """Make one row what its postings say, or remove it when none is left."""
        table = ACCOUNTS[account]
        values = fold(self._postings(account, row))
        stored = self.session.get(table, row_key(table, self.farm_id, row))
        if values is None:
            if stored is not None:
                self._refuse_if_named(stored)
                self.session.delete(stored)
        elif stored is None:
            self.session.add(table(farm_id=self.farm_id, **from_plain(table, values)))
        else:
            for name, value in from_plain(table, values).items():
                setattr(stored, name, value)
        self.session.flush()

    def _refuse_if_named(self, row: SQLModel) -> None:
        """A batch may not go while plants of it are on the books, nor a crop that was sown or is aimed for, nor a shift
        that somebody has spoken of.
        """
        parts: list[Any] = []
        if isinstance(row, Batch):
            parts = [select(table).where(table.farm_id == self.farm_id, table.batch == row.code) for table in OF_BATCH]
        elif isinstance(row, Crop):
            parts = [select(table).where(table.farm_id == self.farm_id, table.crop == row.slug) for table in OF_CROP]
        elif isinstance(row, Shift):
            parts = [select(ShiftPlace).where(ShiftPlace.farm_id == self.farm_id, ShiftPlace.shift == row.id)]
        if any(self.session.exec(one).first() for one in parts):
            raise Refused("built_upon")

    def _refuse_if_built_upon(self, n: int) -> None:
        below = select(Standing).where(Standing.farm_id == self.farm_id, Standing.plants < 0)
        if self.session.exec(below).first() or self._planted_anew(n):
            raise Refused("built_upon")

    def _planted_anew(self, n: int) -> bool:
        """Whether other plants came into a tower after entry `n` had taken some out of it, and still stand there."""
        emptied = select(Posting).where(Posting.farm_id == self.farm_id, Posting.entry == n)
        keys = [
            one.value["key"]
            for one in self.session.exec(emptied.where(Posting.account == "standing", Posting.verb == "add"))
            if one.value.get("plants", 0) < 0
        ]
        towers = {one["place"] for one in keys if PLACE_CODE.fullmatch(one["place"])}
        stands = select(Standing).where(Standing.farm_id == self.farm_id, col(Standing.place).in_(towers))
        others = [one for one in self.session.exec(stands.where(Standing.plants > 0)) if to_plain_key(one) not in keys]
        return any(next(self._postings("standing", row_text(one))).entry > n for one in others)

    def _postings(self, account: str | None = None, row: str | None = None) -> Iterator[Posting]:
        """Postings of entries that were not taken back, in the order they were written."""
        query = select(Posting).where(Posting.farm_id == self.farm_id, col(Posting.entry).not_in(self._reversed()))
        if account is not None:
            query = query.where(Posting.account == account, Posting.row == row)
        yield from self.session.exec(query.order_by(col(Posting.entry), col(Posting.part)))

    def _reversed(self) -> SelectOfScalar[Any]:
        """The entries that were taken back."""
        return select(Entry.reverses).where(Entry.farm_id == self.farm_id, col(Entry.reverses).is_not(None))

    def told_of(self, account: str, row_end: str, before: datetime) -> Iterator[tuple[Entry, Posting]]:
        """Postings of the rows whose key ends so, by entries said before an instant and not taken back, in order."""
        query = (
            select(Entry, Posting)
            .join(Entry, (col(Entry.farm_id) == Posting.farm_id) & (col(Entry.n) == Posting.entry))
            .where(Posting.farm_id == self.farm_id, Posting.account == account, col(Entry.said_at) < before)
            .where(col(Posting.row).endswith(row_end, autoescape=True), col(Posting.entry).not_in(self._reversed()))
        )
        yield from self.session.exec(query.order_by(col(Posting.entry), col(Posting.part))).all()

    def rebuilt(self) -> dict[tuple[str, str], dict[str, Any]]:
        """The whole state of the farm from its journal alone: (table, row key) -> field -> plain value."""
        by_row: dict[tuple[str, str], list[Posting]] = {}
        for posting in self._postings():
            by_row.setdefault((posting.account, posting.row), []).append(posting)
        return {place: values for place, postings in by_row.items() if (values := fold(postings)) is not None}

    def differences(self) -> list[str]:
        """Where the tables and the journal disagree, each in one line; empty when all is well."""
        rebuilt = self.rebuilt()
        found = []
        for account, table in ACCOUNTS.items():
            for row in self.session.scalars(select(table).where(table.farm_id == self.farm_id)):
                expected = rebuilt.pop((account, row_text(row)), None)
                if expected is None:
                    found.append(f"{account} {row_text(row)}: in the table, not in the journal")
                    continue
                actual = to_plain(row)
                wanted = to_plain(table(farm_id=self.farm_id, **from_plain(table, expected)))
                found += [
                    f"{account} {row_text(row)}: {name} is {actual[name]!r}, the journal says {wanted[name]!r}"
                    for name in actual
                    if actual[name] != wanted[name]
                ]
        return found + [f"{account} {row}: in the journal, not in the table" for account, row in rebuilt]


class Writing:
    """One entry while its postings are written."""

    def __init__(self, ledger: Ledger, entry: Entry) -> None:
        self.ledger = ledger
        self.entry = entry
        self.parts = 0

    @property
    def n(self) -> int:
        """The entry's number."""
        return self.entry.n

    def record(self, table: Table, **values: Any) -> SQLModel:
        """A row that exists because of this entry. Tables keyed by entry and part get both by themselves."""
        names = {column.name for column in table.__table__.primary_key}
        if "part" in names:
            values |= {"entry": self.n, "part": self.parts}
        row: SQLModel = table(farm_id=self.ledger.farm_id, **values)
        self.ledger.session.add(row)
        self._post(row, "record", to_plain(row))
        return row

    def add(self, table: Table, key: dict[str, Any], **amounts: float) -> SQLModel:
        """Numbers added to a row's fields; a row that is not there yet starts from its defaults."""
        row = self._row(table, key)
        for name, amount in amounts.items():
            setattr(row, name, (getattr(row, name) or 0) + amount)
        self._post(row, "add", dict(amounts))
        return row

    def put(self, table: Table, key: dict[str, Any], **values: Any) -> SQLModel:
        """Fields of a row given a new value; a row that is not there yet starts from its defaults."""
        row = self._row(table, key)
        for name, value in values.items():
            setattr(row, name, value)
        self._post(row, "put", {name: plain(value) for name, value in values.items()})
        return row

    def _row(self, table: Table, key: dict[str, Any]) -> SQLModel:
        row: SQLModel | None = self.ledger.session.get(table, {"farm_id": self.ledger.farm_id, **key})
        if row is None:
            row = table(farm_id=self.ledger.farm_id, **key)
            self.ledger.session.add(row)
        return row

    def _post(self, row: SQLModel, verb: str, value: dict[str, Any]) -> None:
        self.ledger.session.flush()
        posting = Posting(
            farm_id=self.ledger.farm_id,
            entry=self.n,
            part=self.parts,
            account=str(row.__tablename__),
            row=row_text(row),
            verb=verb,
            value=value if verb == "record" else {"key": to_plain_key(row), **value},
        )
        self.ledger.session.add(posting)
        self.ledger.session.flush()
        self.parts += 1


def fold(postings: Iterable[Posting]) -> dict[str, Any] | None:
    """What a row says after its postings, as plain values; None when there are none."""
    values: dict[str, Any] | None = None
    for posting in postings:
        change = {name: value for name, value in posting.value.items() if name != "key"}
        if posting.verb == "record":
            values = dict(change)
            continue
        if values is None:
            values = dict(posting.value["key"])
        for name, value in change.items():
            values[name] = value if posting.verb == "put" else (values.get(name) or 0) + value
    return values


def plain(value: Any) -> Any:
    """A column's value as JSON can keep it: instants in UTC, dates and times in ISO 8601."""
    if isinstance(value, datetime):
        return Instant().process_bind_param(value, _UtcDialect).isoformat()  # type: ignore[union-attr]
    return value.isoformat() if isinstance(value, (date, time)) else value


def to_plain(row: SQLModel) -> dict[str, Any]:
    """A row's fields as plain values, the farm left out."""
    columns = type(row).__table__.columns  # type: ignore[attr-defined]
    return {column.name: plain(getattr(row, column.name)) for column in columns if column.name != "farm_id"}


def to_plain_key(row: SQLModel) -> dict[str, Any]:
    """A row's key as plain values."""
    return {name: plain(value) for name, value in key_of(row).items()}


def from_plain(table: Table, values: dict[str, Any]) -> dict[str, Any]:
    """Plain values as the table's columns want them."""
    columns = table.__table__.columns
    return {name: _typed(columns[name].type, value) for name, value in values.items()}


def row_text(row: SQLModel) -> str:
    """A row's key within its farm as one text."""
    return "|".join(str(plain(value)) for value in key_of(row).values())


def row_key(table: Table, farm_id: int, text: str) -> tuple[Any, ...]:
    """The primary key that `row_text` wrote down."""
    columns = [column for column in table.__table__.primary_key if column.name != "farm_id"]
    parts = text.split("|")
    return (farm_id, *(_typed(column.type, part) for column, part in zip(columns, parts, strict=True)))


class _UtcDialect:
    name = "utc"


def _typed(kind: Any, value: Any) -> Any:
    if not isinstance(value, str):
        return value
    python = datetime if isinstance(kind, Instant) else kind.python_type
    if python in (datetime, date, time):
        return python.fromisoformat(value)
    return int(value) if python is int else value
