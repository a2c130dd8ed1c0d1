"""What pages, API and command line all call: one file a subject."""
