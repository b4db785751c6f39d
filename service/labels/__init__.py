"""Labels with a code to scan that opens a text to the farm, as PDF sheets for the printer."""

from service.labels.label import Label, of_places, of_trays
from service.labels.sheet import Grid, grid, papers, print_labels, sizes

__all__ = ["Grid", "Label", "grid", "of_places", "of_trays", "papers", "print_labels", "sizes"]
