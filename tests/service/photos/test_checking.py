"""A picture is known by what it is, small enough, and written anew without place."""

from io import BytesIO

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from service.photos import checking
from service.photos.checking import LONGEST_SIDE, NotAPicture, written_anew

GPS_IFD = 0x8825  # Exif 2.32, table 4: GPS Info IFD pointer; 0x010F make, 0x0112 orientation (from memory)
MAKE, ORIENTATION = 0x010F, 0x0112
PLACE = b"41 deg 52"


def a_photo(size=(640, 480), form="JPEG", exif=None, **options):
    picture = Image.linear_gradient("L").resize(size).convert("RGB")
    written = BytesIO()
    picture.save(written, form, **({"exif": exif} if exif else {}), **options)
    return written.getvalue()


def tagged(orientation=1):
    """What a phone's camera writes: where it was, what it is, which way it was held."""
    exif = Image.Exif()
    exif[MAKE] = "A phone"
    exif[ORIENTATION] = orientation
    exif.get_ifd(GPS_IFD).update({1: "N", 2: (41.0, 52.0, 30.0), 3: "W", 4: (87.0, 37.0, 12.0), 29: "2026:05:04"})
    return exif


def test_the_place_a_photo_was_taken_at_is_gone():
    before = a_photo(exif=tagged())
    assert Image.open(BytesIO(before)).getexif().get_ifd(GPS_IFD)[2] == (41.0, 52.0, 30.0)
    after = written_anew(before)
    assert dict(Image.open(BytesIO(after)).getexif()) == {}
    assert b"Exif" not in after
    assert b"A phone" not in after


def test_nothing_that_hides_behind_the_picture_is_kept():
    assert b"<script>" not in written_anew(a_photo(comment=b"<script>") + b"<script>alert(1)</script>" + PLACE)


def test_a_photo_taken_with_the_phone_on_its_side_stands_upright():
    assert Image.open(BytesIO(written_anew(a_photo((640, 480), exif=tagged(orientation=6))))).size == (480, 640)


@pytest.mark.parametrize("form", ["JPEG", "PNG", "GIF", "WEBP"])
def test_what_phones_send_becomes_a_jpeg(form):
    after = Image.open(BytesIO(written_anew(a_photo(form=form))))
    assert (after.format, after.size, after.mode) == ("JPEG", (640, 480), "RGB")


def test_a_large_photo_becomes_small_enough_to_keep():
    after = written_anew(a_photo((4000, 3000)))
    assert Image.open(BytesIO(after)).size == (LONGEST_SIDE, 1200)
    assert len(after) < 500_000


@pytest.mark.parametrize("form", ["BMP", "TIFF", "PDF"])
def test_other_files_are_refused_whatever_they_are_called(form):
    with pytest.raises(NotAPicture, match="not_a_picture"):
        written_anew(a_photo(form=form))


def test_a_cut_off_photo_is_refused():
    whole = a_photo()
    with pytest.raises(NotAPicture, match="not_a_picture"):
        written_anew(whole[: len(whole) // 2])


def test_a_small_file_that_opens_to_a_huge_picture_is_refused_before_it_is_opened():
    """A decompression bomb: 100 million pixels of nothing in some 100 kB."""
    written = BytesIO()
    Image.new("1", (10_000, 10_000)).save(written, "PNG")
    assert len(written.getvalue()) < 200_000
    with pytest.raises(NotAPicture, match="too_large"):
        written_anew(written.getvalue())


def test_a_file_that_is_too_large_is_refused_unopened(monkeypatch):
    monkeypatch.setattr(checking, "MOST_OCTETS", 100)
    with pytest.raises(NotAPicture, match="too_large"):
        written_anew(a_photo())


@given(st.binary(max_size=200), st.sampled_from([b"", b"\xff\xd8\xff\xe0", b"\x89PNG\r\n\x1a\n", b"GIF89a", b"RIFF"]))
def test_no_bytes_whatever_do_more_harm_than_being_refused(tail, head):
    with pytest.raises(NotAPicture):
        written_anew(head + tail)
