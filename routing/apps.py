"""The floor of work and time as a Django app."""

from django.apps import AppConfig


class RoutingConfig(AppConfig):
    name = "routing"
