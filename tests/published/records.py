"""The records of fixtures/published/horticulture.json by id: what a source prints, and from which inputs."""

import json
from pathlib import Path

FILE = Path(__file__).parents[2] / "fixtures" / "published" / "horticulture.json"
RECORDS = {record["id"]: record for record in json.loads(FILE.read_text("utf-8"))}


def example(record):
    """A worked example: (what goes in, what the source prints)."""
    value = RECORDS[record]["value"]
    return value["inputs"], value["published"]


def value(record):
    """A published value or table."""
    return RECORDS[record]["value"]
