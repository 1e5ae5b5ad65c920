"""Every environment variable the program reads: its name, default and meaning, in one list."""

from __future__ import annotations

import os
from dataclasses import dataclass


@dataclass(frozen=True)
class Variable:
    name: str
    default: str
    meaning: str


VARIABLES = (
    Variable("DATABASE_URL", "", "PostgreSQL address; empty: SQLite in the data folder"),
    Variable("REDIS_URL", "", "Redis as queue and cache; empty: a folder queue and a cache in memory"),
    Variable("HEELBLOCK_DATA", "data", "folder for the SQLite file, the folder queue, released sheets and the key"),
    Variable("HEELBLOCK_SECRET_KEY", "", "signing key; empty: made once and kept in the data folder"),
    Variable("HEELBLOCK_HOSTS", "localhost,127.0.0.1,[::1]", "host names the server answers to, comma separated"),
    Variable("HEELBLOCK_ORIGIN", "http://localhost:8000", "address printed in QR codes and trusted for forms"),
    Variable("HEELBLOCK_SECURE", "0", "1 behind HTTPS: secure cookies and strict transport security"),
    Variable("HEELBLOCK_DEBUG", "0", "1 shows Django's error pages; never on a shop's network"),
    Variable("HEELBLOCK_TIME_ZONE", "Europe/Lisbon", "the workshop's time zone"),
    Variable("HEELBLOCK_LANGUAGE", "en", "language of screens and sheets"),
    Variable("HEELBLOCK_OWNER", "Saltmarsh Instrument Works", "legal owner named in every title block"),
    Variable("HEELBLOCK_COUNTRY", "PT", "the workshop's country, an ISO 3166 code; shipping elsewhere is export"),
    Variable("HEELBLOCK_PAPER", "A4", "paper of printed sheets: A4 or Letter"),
    Variable("HEELBLOCK_FLOOR_PAGE", "0", "1 serves the floor page, the yardstick of the speed measurements"),
)

_DEFAULTS = {variable.name: variable.default for variable in VARIABLES}


def read(name: str) -> str:
    """The value of a listed variable; a name not listed is a KeyError."""
    return os.environ.get(name) or _DEFAULTS[name]


def switched_on(name: str) -> bool:
    """Whether a 0/1 variable is 1."""
    return read(name) == "1"
