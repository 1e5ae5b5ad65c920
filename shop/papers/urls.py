"""Addresses of papers."""

from django.urls import path  # noqa: F401

app_name = "papers"
urlpatterns = []
