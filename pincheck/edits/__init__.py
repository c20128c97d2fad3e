"""Changes spelt in the user's own files: proposed, shown, applied, checked again."""
