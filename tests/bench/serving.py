"""A web server of its own for a measurement, people signed in, and requests counted and timed on 127.0.0.1 only."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from http.client import HTTPConnection
from statistics import quantiles
from time import perf_counter, sleep
from typing import Any
from urllib.parse import urlencode

from ready import ROOT

HOST = "127.0.0.1"
WORKERS, THREADS = 2, 4


@contextmanager
def served() -> Iterator[int]:
    """The port of a running server with the floor page switched on; it is stopped at the end."""
    with socket.socket() as free:
        free.bind((HOST, 0))
        port = free.getsockname()[1]
    environment = os.environ | {"HEELBLOCK_FLOOR_PAGE": "1"}
    subprocess.run(
        [sys.executable, "manage.py", "collectstatic", "--noinput", "-v0"], cwd=ROOT, env=environment, check=True
    )
    listen = ["--bind", f"{HOST}:{port}", "--workers", str(WORKERS), "--threads", str(THREADS), "--no-control-socket"]
    server = subprocess.Popen(
        [sys.executable, "-m", "gunicorn", "shop.wsgi", "--log-level", "error", *listen], cwd=ROOT, env=environment
    )
    try:
        _wait(port)
        yield port
    finally:
        server.terminate()
        server.wait(20)


def _wait(port: int) -> None:
    for _ in range(200):
        with socket.socket() as probe:
            if probe.connect_ex((HOST, port)) == 0:
                return
        sleep(0.1)
    raise SystemExit("The server did not start.")


def signed_in(name: str) -> tuple[str, str]:
    """The cookies of a session of that person, and the token its forms carry."""
    from django.middleware.csrf import _get_new_csrf_string
    from django.test import Client

    from shop.people.models import Person

    client = Client(SERVER_NAME="localhost")
    client.force_login(Person.objects.get(username=name))
    token = _get_new_csrf_string()
    return f"sessionid={client.cookies['sessionid'].value}; csrftoken={token}", token


def ask(
    port: int, path: str, cookies: str, form: dict[str, str] | None = None, **headers: str
) -> tuple[int, bytes, float]:
    """Status, body and milliseconds of one request."""
    connection = HTTPConnection(HOST, port, timeout=60)
    body = None if form is None else urlencode(form)
    sent = {"Cookie": cookies, "Host": f"localhost:{port}", **headers}
    if form is not None:
        sent["Content-Type"] = "application/x-www-form-urlencoded"
    start = perf_counter()
    connection.request("GET" if form is None else "POST", path, body, sent)
    answer = connection.getresponse()
    whole = answer.read()
    took = (perf_counter() - start) * 1000
    connection.close()
    return answer.status, whole, took


def at_once(act: Callable[[Any], Any], given: list[Any], hands: int) -> list[Any]:
    """Every answer, so many asked at a time."""
    with ThreadPoolExecutor(hands) as pool:
        return list(pool.map(act, given))


def p95(took: list[float]) -> float:
    """Nineteen of twenty are no slower."""
    return quantiles(took, n=20)[-1]
