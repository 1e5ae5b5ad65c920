"""The one list of everything that runs in the background: importing a module here registers its jobs."""

from __future__ import annotations

from shop.papers import jobs as papers_jobs

__all__ = ["papers_jobs"]
