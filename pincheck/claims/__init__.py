"""Settings to claims through the vocabulary, and the way back to the user's own spelling."""

from pincheck.claims.build import claims
from pincheck.claims.built_in import vocabularies, vocabulary
from pincheck.claims.entry import Entry, Vocabulary, Words

__all__ = ["Entry", "Vocabulary", "Words", "claims", "vocabularies", "vocabulary"]
