"""The Django project and every screen; importing it makes the queue known to background code."""

from shop.celery import app as celery_app

__all__ = ["celery_app"]
