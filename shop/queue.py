"""What a worker does when it is woken: run one Job row, or sweep the stale ones."""

from __future__ import annotations

from celery import shared_task
from django.utils import timezone

import shop.jobs  # noqa: F401  the list of everything that can run in the background
from routing import jobs
from routing.planning.jobs import improve_at_night
from shop.backlog.jobs import LEARN


@shared_task(name="run job")
def run_job(job_id: int) -> None:
    jobs.run(job_id)


@shared_task(name="propose estimates")
def propose_estimates() -> None:
    jobs.ask(LEARN, person=None)


@shared_task(name="improve the plan at night")
def improve_tonight() -> None:
    improve_at_night(timezone.now())


@shared_task(name="sweep")
def sweep() -> None:
    jobs.sweep()
