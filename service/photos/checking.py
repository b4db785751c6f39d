"""A picture as somebody's phone made it -> a JPEG of ours. Pure.

Nothing of the file is kept but what can be seen: it is decoded and written anew, so that where it was taken (EXIF GPS),
with what, by whom, and whatever hides behind the picture is gone.
"""

from __future__ import annotations

import warnings
from io import BytesIO

from PIL import Image, ImageOps

FORMATS = ("JPEG", "PNG", "GIF", "WEBP")
"""What phones and carriers send; by content, whatever it is called. Pillow opens more, with more to go wrong."""

MOST_OCTETS = 6_000_000
"""Carriers bring about 5 MB in all (from memory)."""

MOST_PIXELS = 50_000_000
"""More than a phone's camera makes, less than memory minds: 150 MB decoded."""

LONGEST_SIDE = 1600
QUALITY = 82


class NotAPicture(ValueError):
    """It is none of FORMATS, is broken, or is too large; `why` is "not_a_picture" or "too_large"."""

    def __init__(self, why: str) -> None:
        super().__init__(why)
        self.why = why


def written_anew(data: bytes) -> bytes:
    """The picture upright, at most LONGEST_SIDE pixels wide and high, as JPEG, and nothing else of the file.

    Raises:
        NotAPicture: as it says.
    """
    if len(data) > MOST_OCTETS:
        raise NotAPicture("too_large")
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")  # Pillow warns of bombs and of broken files before it fails at them
            with _opened(data) as probe:
                probe.verify()
            with _opened(data) as picture:
                return _jpeg(picture)
    except NotAPicture:
        raise
    except (Image.DecompressionBombWarning, Image.DecompressionBombError) as error:
        raise NotAPicture("too_large") from error
    except Exception as error:
        raise NotAPicture("not_a_picture") from error


def _opened(data: bytes) -> Image.Image:
    """The file with its header read and nothing decoded yet."""
    picture = Image.open(BytesIO(data), formats=FORMATS)
    if picture.width * picture.height > MOST_PIXELS:
        raise NotAPicture("too_large")
    return picture


def _jpeg(picture: Image.Image) -> bytes:
    picture.draft("RGB", (LONGEST_SIDE, LONGEST_SIDE))  # a JPEG decodes no larger than is needed
    upright = ImageOps.exif_transpose(picture)
    flat = Image.new("RGB", upright.size, "white")  # what is see-through becomes white
    seen = upright.convert("RGBA")
    flat.paste(seen, mask=seen.getchannel("A"))
    flat.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    written = BytesIO()
    flat.save(written, "JPEG", quality=QUALITY, optimize=True)
    return written.getvalue()
