"""Compiles the inner loops where numba is installed; without it the same functions run as they are, slower.

Machine code is kept under a name made from the loops' own source, so that code of an older version is never run, in
numba's folder (``NUMBA_CACHE_DIR``), else the user's cache folder, else one of the user's own in the folder for
temporary files; where none can be written to, it is compiled anew in every process.
"""

from __future__ import annotations

import getpass
import hashlib
import os
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TypeVar

try:
    import numba
except ImportError:
    numba = None

Function = TypeVar("Function", bound=Callable[..., object])


def compiled(function: Function) -> Function:
    """The function as machine code that lets other threads run meanwhile, or the function itself.

    It may not make arrays nor copy one onto another: without counting who holds an array it runs ten times faster,
    and five times with loops laid into one another instead of handing each other their arrays.
    """
    if numba is None:
        return function
    return numba.njit(cache=_IS_KEPT, nogil=True, error_model="numpy", _nrt=False, forceinline=True)(function)


def is_compiled() -> bool:
    """Whether the inner loops run as machine code."""
    return numba is not None and not numba.config.DISABLE_JIT


def _keep_code() -> bool:
    """Point numba to a folder for machine code; whether there is one."""
    folder = next((each for each in map(_prepared, _folders()) if each), None)
    if folder:
        numba.config.CACHE_DIR = str(folder)
    return folder is not None


def _folders() -> Iterator[Path]:
    if numba.config.CACHE_DIR:
        yield Path(numba.config.CACHE_DIR)
    home = Path(os.path.expanduser("~"))
    if home.is_absolute():
        yield home / ".cache" / "heelblock"
    yield Path(tempfile.gettempdir()) / f"heelblock-{_user()}"


def _user() -> str:
    return str(os.getuid()) if hasattr(os, "getuid") else getpass.getuser()


def _prepared(folder: Path) -> Path | None:
    """A folder of this source in there, made where it is missing; nothing where it cannot be written or is not ours."""
    own = folder / f"plan-{_digest()}"
    try:
        own.mkdir(mode=0o700, parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=own):
            pass
        ours = not hasattr(os, "getuid") or own.stat().st_uid == os.getuid()
    except OSError:
        return None
    return own if ours else None


def _digest() -> str:
    """Of every module here that holds loops, or the tuples of arrays they work on."""
    digest = hashlib.sha256(numba.__version__.encode())
    for source in (path.read_bytes() for path in sorted(Path(__file__).parent.glob("*.py"))):
        if b"@compiled" in source or b"(NamedTuple)" in source:
            digest.update(source)
    return digest.hexdigest()[:16]


_IS_KEPT = numba is not None and _keep_code()
