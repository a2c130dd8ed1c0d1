"""How a plan changes: commands, what differs between two plans, merging, and words for it all."""
