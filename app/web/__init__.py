"""Pages and API over HTTP, on this machine only. Flask is used here and nowhere else."""
