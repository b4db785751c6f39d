"""How a reading is compared with its label: the record of the labelled messages, order-free, numbers rounded.

A label that asks is met when what is asked for overlaps; one that records when every note is the same.
"""

import json
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

Record = Mapping[str, Any]

FREE_TEXT = ("words", "unit")
LISTS = ("places", "from", "to", "where")
AIR = ("air_temp", "humidity", "co2")
GRAMS_APART = 3  # a gram or two of rounding is no error


def load(*files: Path) -> list[Record]:
    """The labelled messages of some files."""
    return [json.loads(line) for file in files for line in file.read_text("utf-8").splitlines() if line.strip()]


def canonical(note: Record) -> str:
    """A note as one comparable text."""
    kept = {key: _plain(key, value, note) for key, value in note.items() if not _says_nothing(key, value, note)}
    return json.dumps(kept, sort_keys=True)


def _says_nothing(key: str, value: Any, note: Record) -> bool:
    if key in FREE_TEXT or value in (None, [], ""):
        return True
    if key == "where" and value == "room":
        return note.get("measure") in AIR
    return key == "reason" and value == "other"


def _plain(key: str, value: Any, note: Record) -> Any:
    if key in LISTS and not isinstance(value, Mapping):
        return sorted(value) if isinstance(value, list) else [str(value).lower()]
    if key in ("windows", "weekly"):
        return sorted(json.dumps(one, sort_keys=True) for one in value)
    if key == "weight_g":
        return round(value / GRAMS_APART)
    if isinstance(value, bool):
        return value
    if isinstance(value, int | float):
        return round(float(value), 1 if str(note.get("measure", "")).endswith("temp") else 3)
    return value.strip().lower() if isinstance(value, str) else value


def same(one: Iterable[Record], other: Iterable[Record]) -> bool:
    """Whether two sets of notes say the same."""
    return Counter(map(canonical, one)) == Counter(map(canonical, other))


def is_exact(label: Record, read: Record) -> bool:
    """Whether a reading is what the label says."""
    if read["verdict"] != label["verdict"]:
        return False
    if label["verdict"] == "ask":
        return bool(set(label.get("missing", ())) & set(read.get("missing", ())))
    return label["verdict"] in ("none", "keyword") or same(label["notes"], read["notes"])


def is_wrong_write(label: Record, read: Record) -> bool:
    """Whether something would be recorded that the label does not say: the error that spoils the books."""
    wanted = label["verdict"] == "record" and same(label["notes"], read["notes"])
    return read["verdict"] == "record" and not wanted


@dataclass
class Score:
    """Figures of one run over labelled messages."""

    n: int = 0
    exact: int = 0
    wrong_writes: list[str] = field(default_factory=list)
    needless_asks: int = 0
    misread: list[str] = field(default_factory=list)

    def count(self, label: Record, read: Record) -> None:
        """One message."""
        self.n += 1
        if is_exact(label, read):
            self.exact += 1
        else:
            self.misread.append(label["id"])
        if is_wrong_write(label, read):
            self.wrong_writes.append(label["id"])
        self.needless_asks += label["verdict"] == "record" and read["verdict"] == "ask"

    def __str__(self) -> str:
        share = 100 / max(self.n, 1)
        return (
            f"{self.n:5d} messages  exact {self.exact * share:6.2f} %  wrong writes {len(self.wrong_writes):3d}  "
            f"needless asks {self.needless_asks * share:5.2f} %"
        )
