"""An SVG as matplotlib writes it, made fit to stand inside a page: named, without style, in the page's colours."""

from __future__ import annotations

import hashlib
import re
from xml.etree import ElementTree as ET

from markupsafe import Markup

SVG = "http://www.w3.org/2000/svg"
XLINK = "http://www.w3.org/1999/xlink"
INK, BAND, ACCENT = "#2a2018", "#dcc9a0", "#8a2f1b"
"""The colours a figure is drawn in: board.css on light paper."""

NAMED = {INK: "var(--ink)", BAND: "var(--band)", ACCENT: "var(--accent)"}
REFERRED = re.compile(r"#([\w-]+)")

FONT = re.compile(r"(?P<size>[\d.]+)px (?P<family>.+)")


def for_page(svg: bytes, title: str, description: str) -> Markup:
    """The drawing as inline markup: role, title and description first; styles as attributes, which no policy against
    inline style forbids; colours by the names of the page's style sheet; ids only where something refers to them.
    """
    ET.register_namespace("", SVG)
    ET.register_namespace("xlink", XLINK)
    root = ET.fromstring(svg)  # noqa: S314  only our own drawings are read
    for one in root.findall(f"{{{SVG}}}metadata") + root.findall(f"{{{SVG}}}defs"):
        root.remove(one)
    for element in root.iter():
        _plain(element)
    referred = {
        name for element in root.iter() for value in element.attrib.values() for name in REFERRED.findall(value)
    }
    for element in root.iter():
        if element.get("id") not in referred:
            element.attrib.pop("id", None)
    own = f"plot-{hashlib.sha256((title + description).encode()).hexdigest()[:8]}"
    _name(root, own, title, description)
    return Markup(ET.tostring(root, encoding="unicode"))  # noqa: S704  what is inside was escaped on writing


def _plain(element: ET.Element) -> None:
    """Style into attributes."""
    for rule in (element.attrib.pop("style", "")).split(";"):
        name, _, value = (each.strip() for each in rule.partition(":"))
        if name == "font":
            font = FONT.search(value)
            if font:
                element.set("font-size", font["size"])
                element.set("font-family", font["family"].replace("'", ""))
        elif name:
            element.set(name, NAMED.get(value, value))


def _name(root: ET.Element, own: str, title: str, description: str) -> None:
    for size in ("width", "height"):
        root.attrib.pop(size, None)
    root.set("class", "plot")
    root.set("role", "img")
    root.set("aria-labelledby", f"{own}-title {own}-desc")
    for place, (name, words) in enumerate((("title", title), ("desc", description))):
        said = ET.Element(f"{{{SVG}}}{name}", {"id": f"{own}-{name}"})
        said.text = words
        root.insert(place, said)
