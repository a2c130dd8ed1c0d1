"""Search that drives the judge: ways out of a snag, and places for something new."""
