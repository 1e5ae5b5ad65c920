"""Sheets rendered in the background."""
