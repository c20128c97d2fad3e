"""Settings to claims through the vocabulary, and the way back to the user's own spelling."""

from pincheck.claims.build import claims
from pincheck.claims.entry import Entry, Vocabulary
from pincheck.claims.load import vocabulary

__all__ = ["Entry", "Vocabulary", "claims", "vocabulary"]
