"""The one list of everything that runs in the background: importing a module here registers its jobs."""

from __future__ import annotations

from routing.planning import deciding as trial_jobs
from routing.planning import jobs as planning_jobs
from shop.backlog import jobs as backlog_jobs
from shop.papers import jobs as papers_jobs

__all__ = ["backlog_jobs", "papers_jobs", "planning_jobs", "trial_jobs"]
