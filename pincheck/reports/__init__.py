"""A check's result for people and machines: one file a form."""
