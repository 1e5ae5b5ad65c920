"""Twenty presses of Done on one task at once, each with a token of its own, and one token pressed twice.

``DATABASE_URL`` names the database; the presses go through a real web server.
"""

from __future__ import annotations

from collections import Counter
from uuid import uuid4

from ready import django_ready, project

project()
django_ready()

from django.db import connection  # noqa: E402
from django.utils import timezone  # noqa: E402
from filling import filled  # noqa: E402
from serving import ask, at_once, served, signed_in  # noqa: E402

from routing.models import EventKind, Task, TaskEvent, TaskState  # noqa: E402
from routing.services import start_task  # noqa: E402
from shop.people.models import Person  # noqa: E402

PRESSES = 20


def main() -> None:
    filled(timezone.now(), orders=20)
    with served() as port:
        twenty, task = _done(port, [str(uuid4()) for _ in range(PRESSES)])
        statuses = Counter(status for status, _, _ in twenty)
        polite = sum(b"Nothing was changed" in body for status, body, _ in twenty if status == 409)
        print(f"{connection.vendor}, {PRESSES} tokens: {dict(statuses)}, {polite} polite, {_log(task)} in the log")
        again, task = _done(port, [str(uuid4())] * 2)
        same = len({body for _, body, _ in again}) == 1
        print(f"one token twice: {[status for status, _, _ in again]}, same answer: {same}, {_log(task)} in the log")


def _done(port: int, tokens: list[str]) -> tuple[list[tuple[int, bytes, float]], Task]:
    """Every answer to Done on a task just started, all sent together."""
    person = Person.objects.get(username="avocet")
    task = _startable(person)
    cookies, csrf = signed_in("avocet")
    sent = {"X-CSRFToken": csrf, "HX-Request": "true", "Origin": f"http://localhost:{port}"}
    press = lambda token: ask(port, f"/bench/task/{task.pk}/done/", cookies, {"press": token}, **sent)  # noqa: E731
    return at_once(press, tokens, len(tokens)), task


def _startable(person: Person) -> Task:
    ready = Task.objects.ready(timezone.now()).filter(build__released_at__isnull=False, build__cancelled_at=None)
    task = ready.order_by("pk").first()
    start_task(task_id=task.pk, person=person, now=timezone.now())
    return Task.objects.get(pk=task.pk, state=TaskState.ON_BENCH)


def _log(task: Task) -> int:
    return TaskEvent.objects.filter(task=task, kind=EventKind.DONE).count()


if __name__ == "__main__":
    main()
