"""The fast core of every search: where one station may stand, by sums of outlines."""
