"""One file a rule, in a folder for each family; see `base.Rule` for the contract."""
