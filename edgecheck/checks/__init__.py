"""Check declarations, check results and the verdict."""
