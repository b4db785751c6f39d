"""What is said of the farm's own set-up: places of any layout, places out of use, seed packets, crops described."""

from dataclasses import replace

import pytest

from core.notes import DescribeCrop, Harvest, Move, PlaceUse, Sow, to_record
from service.demo import demo_vocabulary
from service.understanding import understand
from tests.demo_farm import NOW

WORDS = demo_vocabulary()
MIXED = replace(
    WORDS,
    tower_rows={"A": 4, "N": 6, "R": 3, "BED": 2},
    row_kinds={"N": "channel", "R": "raft", "BED": "bed"},
)


def read(text, words=WORDS):
    return understand(text, sent=NOW, sender="priya", vocabulary=words)


@pytest.mark.parametrize(
    ("text", "places"),
    [
        ("picked 12 romaine from R1", ("R1",)),
        ("picked 12 romaine from raft R1", ("R1",)),
        ("picked 12 romaine from raft 1", ("R1",)),
        ("picked 12 romaine from rafts 1-3", ("R1", "R2", "R3")),
        ("picked 12 romaine from N1-N3", ("N1", "N2", "N3")),
        ("picked 12 romaine from channel 4", ("N4",)),
        ("picked 12 romaine from Bed 2", ("BED2",)),
        ("picked 12 romaine from beds 1 and 2", ("BED1", "BED2")),
        ("corte 12 romanas de la balsa 2", ("R2",)),
        ("corte 12 romanas de la cama 1", ("BED1",)),
    ],
)
def test_rafts_channels_and_beds_are_places_where_the_farm_has_them(text, places):
    assert read(text, MIXED).notes == (Harvest(crop="romaine", count=12, places=places),)


def test_a_bed_that_was_not_built_is_asked_about():
    assert read("picked 12 romaine from bed 7", MIXED).unknown == ("BED7",)


def test_plants_are_moved_to_a_bed():
    assert read("moved 20 kale from shelf 2 to bed 1", MIXED).notes == (
        Move(crop="kale", count=20, origin=("shelf2",), to=("BED1",)),
    )


def test_a_farm_of_towers_knows_no_beds():
    assert all("BED" not in str(to_record(note)) for note in read("picked 12 romaine from bed 2").notes)


@pytest.mark.parametrize(
    ("text", "places", "out"),
    [
        ("A5 is broken", ("A5",), True),
        ("tower A5 out of use", ("A5",), True),
        ("A5-A7 out of order", ("A5", "A6", "A7"), True),
        ("please dont use B3", ("B3",), True),
        ("A5 works again", ("A5",), False),
        ("A5 is fixed", ("A5",), False),
        ("la A5 no sirve", ("A5",), True),
        ("la torre A5 esta descompuesta", ("A5",), True),
        ("la A5 ya sirve", ("A5",), False),
        ("A5 fuera de uso", ("A5",), True),
    ],
)
def test_places_are_out_of_use_or_back_in_it(text, places, out):
    assert read(text).notes == (PlaceUse(places=places, out=out),)


@pytest.mark.parametrize(
    "text", ["is A5 broken?", "the pump at A5 is broken", "broken", "my phone is fixed", "2 kale broken in A5"]
)
def test_other_things_that_broke_put_no_place_out_of_use(text):
    assert not any(isinstance(note, PlaceUse) for note in read(text).notes)


@pytest.mark.parametrize(
    ("text", "packet"),
    [
        ("sowed 2 trays kale from packet K23", "K23"),
        ("sowed 2 trays kale, packet #K23", "K23"),
        ("sowed 2 trays of kale, lot 44120", "44120"),
        ("sowed 2 trays kale lot 24-117B", "24-117B"),
        ("sembre 2 charolas de kale del sobre K23", "K23"),
        ("sembre 2 charolas de kale, lote 44120", "44120"),
        ("sowed 2 trays kale", None),
    ],
)
def test_the_lot_on_the_packet_is_no_place_and_no_count(text, packet):
    assert read(text).notes == (Sow(crop="kale", trays=2, packet=packet),)


def test_packets_that_are_counted_have_no_lot():
    assert [note.act for note in read("3 packets of kale seed arrived").notes] == ["stock"]


@pytest.mark.parametrize(
    ("text", "note"),
    [
        (
            "new crop: thai basil like basil, 3 weeks in the towers",
            {"name": "thai basil", "crop": "basil", "tower_days": 21},
        ),
        ("new crop: red kale like kale", {"name": "red kale", "crop": "kale"}),
        ("New crop: chard", {"name": "chard", "crop": "chard"}),
        ("cultivo nuevo: acelga", {"name": "acelga", "crop": "chard"}),
        (
            "new crop: lemon basil like basil, 6 days under the domes, 10 days on the shelves, 4 cuts, 14 days between cuts",
            {"name": "lemon basil", "crop": "basil", "cover_days": 6, "shelf_days": 10, "cuts": 4, "regrow_days": 14},
        ),
        (
            "cultivo nuevo: albahaca tai como albahaca, 3 semanas en las torres",
            {"name": "albahaca tai", "crop": "basil", "tower_days": 21},
        ),
    ],
)
def test_a_new_crop_is_described_by_the_one_it_is_like(text, note):
    assert read(text).notes == (DescribeCrop(new=True, **note),)


def test_a_new_crop_that_is_like_none_we_know_is_asked_about():
    found = read("new crop: sorrel")
    assert (found.notes, found.missing) == ((DescribeCrop(name="sorrel", new=True),), ("crop",))


@pytest.mark.parametrize(
    ("text", "figures"),
    [
        ("kale takes 30 days in the towers", {"tower_days": 30}),
        ("kale takes 5 weeks in the towers", {"tower_days": 35}),
        ("la col rizada tarda 30 dias en las torres", {"tower_days": 30}),
    ],
)
def test_a_crop_of_the_farm_is_grown_otherwise(text, figures):
    assert read(text).notes == (DescribeCrop(crop="kale", **figures),)


@pytest.mark.parametrize("text", ["kale takes forever", "it takes 30 days", "kale needs water", "i need 3 days off"])
def test_talk_about_crops_changes_none(text):
    assert not any(isinstance(note, DescribeCrop) for note in read(text).notes)
