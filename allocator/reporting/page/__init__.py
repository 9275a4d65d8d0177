"""A layout as one HTML page that needs nothing beside it: no network, no other file."""

from allocator.reporting.page.whole import html, page_of

__all__ = ["PAGE", "html", "page_of"]

PAGE = "page.html"
"""The name of its file."""
