"""Times as people write them: clock times, days and dates, and the stretches of time they make together.

Own code: a general date parser reads "330-5", "tues n thurs til june 5" or "de 4 a 6 de la tarde" wrongly or not
at all; what is needed here is small, comes from the language files, and must say when it is not sure.
"""

from service.understanding.times.clocks import mark_clocks
from service.understanding.times.days import day_at, end_of_date, said_day, said_period
from service.understanding.times.stretch import Stretch
from service.understanding.times.windows import stretches

__all__ = ["Stretch", "day_at", "end_of_date", "mark_clocks", "said_day", "said_period", "stretches"]
