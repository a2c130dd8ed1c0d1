"""What was typed into a form, read and turned into one command."""
