"""What scripts ask for: JSON, drawings and the stream of news."""
