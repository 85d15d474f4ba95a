"""One reader a weather file format."""
