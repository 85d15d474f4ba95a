"""Power feed (sound, containment and clearance are not built yet)."""
