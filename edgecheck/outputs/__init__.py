"""Pages, figures and tables."""
