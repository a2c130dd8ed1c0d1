"""The plan turned into geometry: prisms, planes, doors, free floor. Never changed."""
