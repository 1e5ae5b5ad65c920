"""Background work by Job rows: the row is the truth, the queue only wakes a worker.

A job function takes a ``Progress`` and ids, may run twice without harm, and returns what JSON can hold.
"""

from __future__ import annotations

import logging
from collections.abc import Callable
from datetime import datetime, timedelta
from functools import partial
from typing import Any

import celery
from amqp.exceptions import AMQPError
from django.db import transaction
from django.db.models import F, Q, QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _
from kombu.exceptions import KombuError

from routing.errors import NotAllowed, WrongState
from routing.models import Job, JobState
from specs.errors import Refused

SILENT_FOR = timedelta(minutes=2)
"""A running job without a heartbeat for so long lost its worker."""

UNWOKEN_FOR = timedelta(seconds=30)
"""A queued job nobody took for so long is announced again."""

MOST_TRIES = 3
WOKEN_A_SWEEP = 100

Function = Callable[..., Any]
REGISTRY: dict[str, Function] = {}

log = logging.getLogger(__name__)


class Cancelled(Exception):
    """Somebody asked the job to stop."""


class Lost(Exception):
    """The row went to another worker meanwhile; this one must not write any more."""


class Progress:
    """What a running job tells: how far it is; and hears: whether to stop."""

    def __init__(self, job_id: int, tries: int) -> None:
        self.job_id = job_id
        self._mine = Job.objects.filter(pk=job_id, state=JobState.RUNNING, tries=tries)

    def set(self, percent: int, message: str = "") -> None:
        """Write the percent done and a heartbeat. Raises ``Cancelled`` or ``Lost`` where the job must stop."""
        if not self._mine.update(progress=percent, message=message, heartbeat_at=timezone.now()):
            raise Lost
        if self._mine.filter(cancel=True).exists():
            raise Cancelled

    def end(self, state: JobState, **fields: Any) -> None:
        """Close the row, unless it went to another worker."""
        self._mine.update(state=state, ended_at=timezone.now(), **fields)


def job(kind: str) -> Callable[[Function], Function]:
    """Register a function as the work of that kind. Raises ``ValueError`` where the kind is taken."""

    def register(function: Function) -> Function:
        if kind in REGISTRY:
            raise ValueError(f"two functions for the job {kind!r}")
        REGISTRY[kind] = function
        return function

    return register


def ask(kind: str, *, person: Any, **arguments: Any) -> Job:
    """A queued row in the caller's transaction; a worker is woken once it is committed. Raises ``KeyError``."""
    REGISTRY[kind]
    asked = Job.objects.create(kind=kind, arguments=arguments, asked_by=person)
    transaction.on_commit(partial(wake, asked.pk))
    return asked


def wake(job_id: int) -> None:
    """Tell a worker; where the queue is down the row stays queued and the sweep tells again."""
    try:
        celery.current_app.send_task("run job", [job_id])
    except (KombuError, AMQPError, OSError) as failure:
        log.warning("job %s waits for the next sweep, the queue is down: %s", job_id, failure)


def run(job_id: int) -> None:
    """Do a queued job once; a second wake-up of a running or ended one does nothing."""
    waiting = Job.objects.filter(pk=job_id, state=JobState.QUEUED)
    if waiting.update(state=JobState.RUNNING, tries=F("tries") + 1, heartbeat_at=timezone.now()):
        claimed = Job.objects.get(pk=job_id)
        _do(claimed, Progress(claimed.pk, claimed.tries))


def _do(claimed: Job, progress: Progress) -> None:
    try:
        progress.set(claimed.progress)
        result = REGISTRY[claimed.kind](progress, **claimed.arguments)
    except Cancelled:
        progress.end(JobState.CANCELLED, message=_("cancelled"))
    except Lost:
        log.warning("job %s went to another worker", claimed.pk)
    except (Refused, WrongState, NotAllowed) as refusal:
        progress.end(JobState.FAILED, message=_short(str(refusal)))
    except Exception as error:
        log.exception("job %s (%s) failed", claimed.pk, claimed.kind)
        progress.end(JobState.FAILED, message=_short(_went_wrong(error)))
    else:
        progress.end(JobState.DONE, progress=100, message="", result=result)


def _went_wrong(error: Exception) -> str:
    told = {"error": f"{type(error).__name__}: {error}"}
    return _("This stopped on an error; nothing else was changed. Ask for it again, or show this: %(error)s") % told


def _short(text: str) -> str:
    return text[: Job._meta.get_field("message").max_length]


def cancel(job_id: int) -> None:
    """Stop a job: a queued one at once, a running one at its next heartbeat; an ended one stays as it is."""
    now = timezone.now()
    waiting = Job.objects.filter(pk=job_id, state=JobState.QUEUED)
    if not waiting.update(state=JobState.CANCELLED, message=_("cancelled"), ended_at=now):
        Job.objects.filter(pk=job_id, state=JobState.RUNNING).update(cancel=True)


def sweep(now: datetime | None = None) -> None:
    """Queue again what lost its worker, give up after three tries, announce again what nobody took."""
    now = now or timezone.now()
    silent = Job.objects.filter(state=JobState.RUNNING, heartbeat_at__lt=now - SILENT_FOR)
    silent.filter(cancel=True).update(state=JobState.CANCELLED, message=_("cancelled"), ended_at=now)
    silent.filter(tries__gte=MOST_TRIES).update(state=JobState.FAILED, message=_gave_up(), ended_at=now)
    silent.update(state=JobState.QUEUED, heartbeat_at=None)
    for job_id in list(_unwoken(now).values_list("pk", flat=True)[:WOKEN_A_SWEEP]):
        Job.objects.filter(pk=job_id, state=JobState.QUEUED).update(heartbeat_at=now)
        wake(job_id)


def _gave_up() -> str:
    return _("The worker stopped %(tries)d times while doing this; ask for it again.") % {"tries": MOST_TRIES}


def _unwoken(now: datetime) -> QuerySet[Job]:
    """Queued rows not announced lately, oldest first; a row just lost by its worker has no heartbeat."""
    announced_before = now - UNWOKEN_FOR
    never = Q(heartbeat_at=None) & (Q(asked_at__lt=announced_before) | Q(tries__gt=0))
    return Job.objects.filter(never | Q(heartbeat_at__lt=announced_before), state=JobState.QUEUED).order_by("pk")
