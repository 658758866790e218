"""Layouts: what is cut from which board or sheet, in which order, and how far that can be from the best."""
