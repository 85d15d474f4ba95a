"""Hourly weather: reading, quality, extremes, spells, air at the site."""
