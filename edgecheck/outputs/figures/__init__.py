"""Figures of the pages, drawn as inline SVG with a caption and a text for readers who cannot see them."""
