"""The terminal screen: pages made without it, and the widgets that show them."""
