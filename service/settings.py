"""What an operator sets, by environment (ROWCALL_…) or a .env file."""

from __future__ import annotations

from functools import lru_cache
from typing import Literal

from pydantic import Field, SecretStr
from pydantic_settings import BaseSettings, SettingsConfigDict

TWILIO_API = "https://api.twilio.com"


class Settings(BaseSettings):
    """Every setting of the service. The table in README.md is checked against this class."""

    model_config = SettingsConfigDict(env_prefix="ROWCALL_", env_file=".env", extra="ignore")

    database: str = Field(default="sqlite:///data/rowcall.db", description="Where the books are: a SQLAlchemy address.")
    host: str = Field(default="127.0.0.1", description="Address the service listens on.")
    port: int = Field(default=8000, description="Port the service listens on.")
    public_url: str = Field(
        default="http://127.0.0.1:8000",
        description="The address the carrier calls, exactly as it is set there; signatures are checked over it.",
    )
    carrier: Literal["practice", "twilio"] = Field(
        default="practice", description="Who carries texts that nobody asked for: practice or twilio."
    )
    practice: bool = Field(
        default=False, description="Whether the practice phone is open. Never on a farm with real numbers."
    )
    clockwork: bool = Field(
        default=True, description="Whether this process runs digests, lists, reminders and retries."
    )
    twilio_account: str = Field(default="", description="The carrier account's id (AC...).")
    twilio_token: SecretStr = Field(
        default=SecretStr(""), description="The account's token: signs webhooks, opens the API."
    )
    twilio_api_url: str = Field(
        default=TWILIO_API, description="Base address of the carrier's API; tests point it at loopback."
    )
    log_level: str = Field(default="INFO", description="DEBUG, INFO, WARNING or ERROR.")


@lru_cache
def settings() -> Settings:
    """The settings of this process, read once."""
    return Settings()
