"""The farm's books: tables, journal, migrations, and the only code that talks to a database."""
