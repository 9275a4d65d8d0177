"""A layout as drawings, the same for the page and for files: plan view, loading of the outputs, trade-off."""
