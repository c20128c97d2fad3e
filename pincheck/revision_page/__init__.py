"""One self-contained page for a revision: sockets, ratings, dangers, references, first power-on."""

from pincheck.revision_page.page import revision_page

__all__ = ["revision_page"]
