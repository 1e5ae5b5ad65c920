"""Makes the project importable for a speed script, with a data folder of its own."""

from __future__ import annotations

import os
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def project() -> Path:
    """The project's root, importable; the data folder is a scratch one unless the environment names one."""
    sys.path.insert(0, str(ROOT))
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
    os.environ.setdefault("HEELBLOCK_DATA", tempfile.mkdtemp(prefix="heelblock-bench-"))
    return ROOT


def django_ready() -> None:
    """Settings read, tables there."""
    import django
    from django.core.management import call_command

    django.setup()
    call_command("migrate", interactive=False, verbosity=0)
