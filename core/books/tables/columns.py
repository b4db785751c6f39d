"""The few column kinds the tables share: aware instants, JSON values, and the parts of a row's key."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from sqlalchemy import JSON, DateTime, MetaData, TypeDecorator
from sqlmodel import Field, SQLModel

SQLModel.metadata.naming_convention = MetaData(
    naming_convention={
        "ix": "ix_%(column_0_label)s",
        "uq": "uq_%(table_name)s_%(column_0_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
        "pk": "pk_%(table_name)s",
    }
).naming_convention


class Instant(TypeDecorator[datetime]):
    """An aware instant: stored in UTC, read back aware, a naive one refused (ValueError)."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Any) -> datetime | None:
        """To UTC on the way in; SQLite keeps no zone, so it gets the bare UTC time."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError(f"an instant without a zone: {value!r}")
        utc = value.astimezone(UTC)
        return utc.replace(tzinfo=None) if dialect.name == "sqlite" else utc

    def process_result_value(self, value: datetime | None, dialect: Any) -> datetime | None:
        """Aware on the way out."""
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)


def instant(**options: Any) -> Any:
    """A column of aware instants."""
    return Field(sa_type=Instant, **options)


def json_value(**options: Any) -> Any:
    """A column of JSON: lists and dictionaries of plain values."""
    return Field(sa_type=JSON, **options)


def json_table(**options: Any) -> Any:
    """A column of JSON dictionaries, empty where nothing was ever set."""
    return Field(default_factory=dict, sa_type=JSON, sa_column_kwargs={"server_default": "{}"}, **options)


def json_list(**options: Any) -> Any:
    """A column of JSON lists, empty where nothing was ever set."""
    return Field(default_factory=list, sa_type=JSON, sa_column_kwargs={"server_default": "[]"}, **options)


def farm_key() -> Any:
    """The farm, first part of every key."""
    return Field(primary_key=True, foreign_key="farm.id")


def key(**options: Any) -> Any:
    """A further part of a row's key."""
    return Field(primary_key=True, **options)
