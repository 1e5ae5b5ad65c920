"""Addresses of floor."""

from django.urls import path  # noqa: F401

app_name = "floor"
urlpatterns = []
