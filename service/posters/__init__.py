"""The poster that asks people to join: a code that opens a text to the farm, in every language the farm speaks."""

from service.posters.poster import print_poster

__all__ = ["print_poster"]
