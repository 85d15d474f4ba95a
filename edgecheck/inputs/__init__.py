"""What people write: unit file, site list, criteria."""
