"""The command `rowcall` itself, under which every area registers its own."""

from __future__ import annotations

from typing import Any

import click
from sqlalchemy.exc import OperationalError

from core.errors import RowcallError


class Commands(click.Group):
    """The commands; what goes wrong with the books or a file is said in words."""

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command."""
        try:
            return super().invoke(ctx)
        except RowcallError as error:
            raise click.ClickException(str(error)) from None
        except OSError as error:
            raise click.ClickException(f"{error.filename}: {error.strerror}. Nothing was written there.") from None
        except OperationalError as error:
            raise click.ClickException(
                f"The books cannot be opened or are not up to date ({type(error.orig).__name__}: {error.orig}). "
                "Check ROWCALL_DATABASE; `rowcall migrate` makes or updates them."
            ) from None


@click.group(cls=Commands)
def main() -> None:
    """Rowcall: one phone number for a community container farm."""
