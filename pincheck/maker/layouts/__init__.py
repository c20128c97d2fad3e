"""In which order a style's files say things, and what ties them together: one module a style."""
