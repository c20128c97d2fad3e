"""Self-contained pages: one look, drawn connectors and curves, no request to anywhere."""

from pincheck.html.connector import draw_connector
from pincheck.html.page import render

__all__ = ["draw_connector", "render"]
