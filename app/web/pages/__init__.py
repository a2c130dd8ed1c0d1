"""Pages for people: each reads a request, calls a use case and renders a template."""
