"""Addresses of backlog."""

from django.urls import path  # noqa: F401

app_name = "backlog"
urlpatterns = []
