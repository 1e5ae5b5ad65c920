"""The instrument's floor as a Django app."""

from django.apps import AppConfig


class SpecsConfig(AppConfig):
    name = "specs"

    def ready(self) -> None:
        from django.db.models.signals import post_migrate

        from specs.guards import install

        post_migrate.connect(install, sender=self)
