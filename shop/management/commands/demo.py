"""Start the whole job with an invented workshop: database, worker, web server, until Ctrl-C."""

from __future__ import annotations

import signal
import subprocess
import sys
import time
from argparse import ArgumentParser
from pathlib import Path
from types import FrameType
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db import connection
from django.db.migrations.executor import MigrationExecutor
from django.utils import timezone

from shop.management.demo.fill import fill
from shop.management.demo.workshop import HANDS, PASSWORD

STOP_WITHIN_S = 20


class Command(BaseCommand):
    help = "Fill an empty database with an invented workshop, start worker and web server, print the sign-ins."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--host", default="127.0.0.1", help="address the web server listens on")
        parser.add_argument("--port", type=int, default=8000)
        parser.add_argument("--fill-only", action="store_true", help="fill the database and stop")

    def handle(self, *args: Any, **options: Any) -> None:
        self._prepare()
        if not options["fill_only"]:
            call_command("collectstatic", interactive=False, verbosity=0, ignore_patterns=["rest_framework"])
            self._serve(options["host"], options["port"])

    def _prepare(self) -> None:
        """Migrate and fill where there is no order yet; otherwise leave the database as it is."""
        if _holds_orders():
            if _unmigrated():
                raise CommandError("This database holds orders and waits for a migration: run manage.py migrate first.")
            self.stdout.write("The database holds orders already: nothing was filled in.")
            return
        call_command("migrate", interactive=False, verbosity=0)
        self.stdout.write("Filling the invented workshop: forty orders lived day by day, about half a minute …")
        fill(timezone.now(), self._progress)

    def _progress(self, what: str) -> None:
        if self.stdout.isatty():
            self.stdout.write(f"\r  {what}   ", ending="")
            self.stdout.flush()

    def _serve(self, host: str, port: int) -> None:
        running = [subprocess.Popen(command, cwd=settings.BASE_DIR) for command in (_worker(), _web(host, port))]
        signal.signal(signal.SIGTERM, _interrupt)
        self._greet(host, port)
        try:
            while all(process.poll() is None for process in running):
                time.sleep(0.3)
        except KeyboardInterrupt:
            self.stdout.write("\nStopping …")
        failed = [process.args for process in running if process.poll() not in (None, 0)]
        _stop(running)
        if failed:
            raise CommandError(f"stopped by itself: {' '.join(map(str, failed[0]))}")
        self.stdout.write("Stopped. Everything is kept in the database.")

    def _greet(self, host: str, port: int) -> None:
        self.stdout.write(f"\nHeelblock at http://{host}:{port}/  (Ctrl-C stops it)\n\nSign in, password {PASSWORD}:")
        for hand in HANDS:
            self.stdout.write(f"  {hand.sign_in:6} {hand.role:8} {hand.first} {hand.last}: {', '.join(hand.stations)}")
        self.stdout.flush()


def _holds_orders() -> bool:
    if "shop_order" not in connection.introspection.table_names():
        return False
    with connection.cursor() as cursor:
        cursor.execute("SELECT EXISTS (SELECT 1 FROM shop_order)")
        return bool(cursor.fetchone()[0])


def _unmigrated() -> bool:
    executor = MigrationExecutor(connection)
    return bool(executor.migration_plan(executor.loader.graph.leaf_nodes()))


def _worker() -> list[str]:
    alone = ["--pool", "solo", "--without-mingle", "--without-gossip"]
    with_beat = ["--beat", "--schedule", str(Path(settings.DATA_DIR) / "beat")]
    celery = [sys.executable, "-W", "ignore:You're running the worker", "-m", "celery", "--quiet", "-A", "shop"]
    return [*celery, "worker", *alone, *with_beat, "--hostname", "worker@localhost", "--loglevel", "WARNING"]


def _web(host: str, port: int) -> list[str]:
    listen = [
        "--bind",
        f"{host}:{port}",
        "--workers",
        "2",
        "--threads",
        "4",
        "--log-level",
        "warning",
        "--no-control-socket",
    ]
    return [sys.executable, "-m", "gunicorn", "shop.wsgi", *listen]


def _interrupt(number: int, frame: FrameType | None) -> None:
    raise KeyboardInterrupt


def _stop(running: list[subprocess.Popen[bytes]]) -> None:
    """Ask every process to end, and insist where one does not."""
    for process in running:
        if process.poll() is None:
            process.terminate()
    for process in running:
        try:
            process.wait(STOP_WITHIN_S)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()
