"""Changes, free of style, to steps and replacements in the user's own spelling."""
