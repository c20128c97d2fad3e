"""The words of pincheck as frozen classes; nothing here reads a file or knows a rule."""
