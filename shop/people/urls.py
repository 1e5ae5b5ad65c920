"""Addresses of people."""

from django.urls import path  # noqa: F401

app_name = "people"
urlpatterns = []
