"""Kit types, movements and other rows of the trade, as data that is validated on load."""
