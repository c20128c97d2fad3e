"""Which pin drives or reads what."""
