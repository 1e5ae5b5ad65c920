"""The database's last net: a released spec can be neither changed nor deleted, whoever asks."""

from __future__ import annotations

from typing import Any

from django.db import connections

_SQLITE = [
    "DROP TRIGGER IF EXISTS specs_released_{verb}",
    """CREATE TRIGGER specs_released_{verb} BEFORE {verb} ON specs_spec WHEN OLD.released_at IS NOT NULL
       BEGIN SELECT RAISE(ABORT, 'a released spec never changes'); END""",
]
_POSTGRESQL = [
    """CREATE OR REPLACE FUNCTION specs_released_stays() RETURNS trigger AS $$
       BEGIN RAISE EXCEPTION 'a released spec never changes' USING ERRCODE = 'integrity_constraint_violation'; END
       $$ LANGUAGE plpgsql""",
    "DROP TRIGGER IF EXISTS specs_released_{verb} ON specs_spec",
    """CREATE TRIGGER specs_released_{verb} BEFORE {verb} ON specs_spec FOR EACH ROW
       WHEN (OLD.released_at IS NOT NULL) EXECUTE FUNCTION specs_released_stays()""",
]


def install(using: str = "default", **_: Any) -> None:
    """(Re)create the triggers after every migration: SQLite drops them when Django rebuilds the table."""
    connection = connections[using]
    if "specs_spec" not in connection.introspection.table_names():
        return
    statements = _POSTGRESQL if connection.vendor == "postgresql" else _SQLITE
    with connection.cursor() as cursor:
        for verb in ("UPDATE", "DELETE"):
            for statement in statements:
                cursor.execute(statement.format(verb=verb))
